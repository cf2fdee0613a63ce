// Search over what stands on the page: nothing is fetched, so it works from a folder.
(() => {
  const form = document.getElementById("find");
  if (!form) return;
  const field = document.getElementById("q"), count = document.getElementById("count");
  const looks = [...document.querySelectorAll(".looks > li")];
  const find = () => {
    const words = field.value.toLocaleLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    for (const look of looks) {
      const hit = words.every((word) => look.dataset.words.includes(word));
      look.hidden = !hit;
      if (hit) shown += 1;
    }
    count.textContent = words.length ? count.dataset.found.replace("{shown}", shown) : count.dataset.every;
  };
  form.hidden = false;
  form.addEventListener("submit", (event) => event.preventDefault());
  field.addEventListener("input", find);
  find();
})();
