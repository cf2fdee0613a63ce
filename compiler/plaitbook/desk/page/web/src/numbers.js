// A slider for every number of the recipe. Moving one writes the number into the text; the text is what counts.
import { fill, fresh, h } from "./dom.js";
import { range } from "./places.js";
import { has, t } from "./words.js";

export function makeNumbers(place, write) {
  let rows = [];
  let made = "";
  let held = false;
  let last = () => null; // what the slider that was moved last would write next

  function show(doc, sliders, picked) {
    const wanted = sliders.filter((one) => !one.option || !picked || !(one.choice in picked) || picked[one.choice] === one.option);
    const shape = JSON.stringify(wanted.map((one) => [one.what, one.block, one.about, one.unit, one.choice, one.option]));
    if (shape === made && rows.length === wanted.length) {
      rows.forEach((row, n) => row.set(doc, wanted[n]));
      return;
    }
    if (held) return;
    made = shape;
    last = () => null;
    rows = [];
    const groups = new Map();
    for (const one of wanted) {
      const row = makeRow(doc, one);
      rows.push(row);
      const key = one.choice ? `${one.choice}: ${one.option}` : one.block;
      if (!groups.has(key)) groups.set(key, { title: one.choice ? key : t(`block.${one.block}`), rows: [] });
      groups.get(key).rows.push(row.element);
    }
    fill(place, rows.length ? [h("p", { class: "hint" }, t("numbers.hint")),
      [...groups.values()].map((group) => h("fieldset", { class: "numbers" }, h("legend", {}, group.title), group.rows))] :
      h("p", { class: "hint" }, t("numbers.none")));
  }

  function makeRow(doc, one) {
    let now = one;
    let at = range(doc, one);
    let stood = one.at;
    const id = fresh("number");
    const said = h("output", { for: id, class: "number-said" });
    const slide = h("input", {
      type: "range", id, min: 0, step: 1,
      oninput: () => {
        const [from, to] = [stood, +slide.value];
        last = () => (element.contains(document.activeElement) && now.steps[2 * to - from] ? { ...at, words: now.steps[2 * to - from] } : null);
        stood = to;
        at = write(at, now.steps[to]);
        tell();
      },
      onpointerdown: () => { held = true; }, onpointerup: () => { held = false; }, onpointercancel: () => { held = false; },
    });
    const step = (by) => { slide.value = +slide.value + by; slide.dispatchEvent(new Event("input")); };
    const name = label(one);
    const element = h("div", { class: "number" },
      h("label", { for: id }, name), said,
      h("button", { type: "button", class: "quiet step", "aria-label": t("numbers.less", { what: name }), onclick: () => step(-1) }, "−"),
      slide,
      h("button", { type: "button", class: "quiet step", "aria-label": t("numbers.more", { what: name }), onclick: () => step(1) }, "+"));
    const tell = () => {
      const text = [now.steps[+slide.value], now.unit.replace("°c", "°C").replace("°f", "°F")].filter(Boolean).join(" ");
      if (said.textContent === text) return;
      said.textContent = text;
      slide.setAttribute("aria-valuetext", text);
    };
    const row = {
      element,
      set(doc, fresh) {
        at = range(doc, fresh);
        if (held && document.activeElement === slide) return;
        // While a slider has the keyboard its steps stay, so that it doesn't slip away under the fingers.
        const same = document.activeElement === slide || element.contains(document.activeElement) ? now.steps.indexOf(fresh.steps[fresh.at]) : -1;
        const end = String(fresh.steps.length - 1);
        if (same < 0) {
          now = fresh;
          if (slide.max !== end) slide.max = end;
        }
        const value = same < 0 ? fresh.at : same;
        if (+slide.value !== value) slide.value = value;
        stood = value;
        tell();
      },
      move(changes) { at = { from: changes.mapPos(at.from, -1), to: changes.mapPos(at.to, 1) }; },
    };
    row.set(doc, one);
    return row;
  }

  return { show, next: () => last(), move(changes) { for (const row of rows) row.move(changes); } };
}

function label(one) {
  const key = `number.${one.what}`;
  const name = has(key) ? t(key) : t(`block.${one.block}`);
  return one.about ? `${name}, ${one.about}` : name;
}
