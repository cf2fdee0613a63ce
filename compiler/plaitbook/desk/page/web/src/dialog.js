// A window over the page: the browser's own dialog element keeps the keyboard inside and gives it back.
import { fresh, h, put } from "./dom.js";
import { t } from "./words.js";

export function dialog(title, ...content) {
  const name = fresh("dialog");
  const box = h("dialog", { "aria-labelledby": name, class: "window" });
  const close = h("button", { type: "button", class: "quiet", onclick: () => box.close() }, t("close"));
  const body = h("div", { class: "window-body", tabindex: "0", role: "group", "aria-labelledby": name }, content);
  put(box, h("div", { class: "window-head" }, h("h2", { id: name }, title), close), body);
  box.addEventListener("close", () => box.remove());
  document.querySelector("main").append(box);
  box.showModal();
  return { box, body };
}

// One short sentence that goes by itself, for the eye and for the ear.
export function say(text, kind = "") {
  const place = document.getElementById("said");
  if (!place) return;
  const note = h("p", { class: `said ${kind}` }, text);
  place.append(note);
  setTimeout(() => note.remove(), kind === "wrong" ? 12000 : 5000);
}

export function sayRefusal(error) {
  const unreachable = error instanceof TypeError;
  say(unreachable ? t("unreachable") : [error.message, error.help].filter(Boolean).join(". "), "wrong");
}
