// Packs, hours, price, load: what they are, and what they were in the saved version.
import { fill, h } from "./dom.js";
import { t } from "./words.js";

export function showTotals(place, totals, explain) {
  const said = JSON.stringify(totals);
  if (place.dataset.said === said) return; // the same again: the keyboard stays where it is
  place.dataset.said = said;
  fill(place, totals.map((one) => {
    const moved = one.moved !== null && one.moved !== 0;
    const name = one.about ? `${t(`total.${one.what}`)}, ${one.about}` : t(`total.${one.what}`);
    return h("button", {
      type: "button", class: `total ${moved ? "moved" : ""}`, "data-key": one.key, "data-what": one.what,
      onclick: () => explain({ key: one.key }),
    },
      h("span", { class: "total-name" }, name), h("span", { class: "total-said" }, one.said),
      moved ? h("span", { class: "total-was" }, t(one.moved > 0 ? "total.up" : "total.down", { was: one.before, by: share(one.moved) })) : null,
      h("span", { class: "vh" }, `. ${t("explain.ask")}`));
  }));
}

function share(moved) {
  const percent = Math.abs(moved) * 100;
  return `${percent < 1 ? percent.toFixed(1) : Math.round(percent)} %`;
}
