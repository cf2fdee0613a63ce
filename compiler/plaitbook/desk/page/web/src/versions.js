// Older versions of a file, and two versions of it that met.
import { ask } from "./api.js";
import { dialog, sayRefusal } from "./dialog.js";
import { fill, h } from "./dom.js";
import { moment, t } from "./words.js";

export async function showHistory(name, now, bringBack) {
  try {
    const { kept } = await ask("history", { name });
    const { box, body } = dialog(t("history.title"));
    if (!kept.length) { fill(body, h("p", {}, t("history.none"))); return; }
    const shown = h("div", {});
    fill(body, h("ol", { class: "kept" }, kept.map((one) => h("li", {}, h("button", {
      type: "button", class: "row",
      onclick: async () => {
        try {
          const { text } = await ask("history", { name, id: one.id });
          fill(shown, h("h3", {}, `${moment(one.when)}, ${t(`history.${one.why}`)}`), compare(text, now(), t("history.then"), t("history.now")),
            h("p", { class: "actions" }, h("button", { type: "button", class: "main", onclick: () => { box.close(); bringBack(text); } }, t("history.back"))));
          shown.scrollIntoView({ block: "nearest" });
        } catch (error) { sayRefusal(error); }
      },
    }, h("span", {}, moment(one.when)), h("span", { class: "soft" }, t(`history.${one.why}`)))))), shown);
  } catch (error) { sayRefusal(error); }
}

// Both texts, the lines that differ marked, and three ways on. Nothing is lost by any of them.
export function showConflict({ mine, theirs, keepMine, takeTheirs }) {
  const { box, body } = dialog(t("conflict.title"));
  fill(body, h("p", {}, t("conflict.said")), compare(mine, theirs, t("conflict.mine"), t("conflict.theirs")),
    h("p", { class: "actions" },
      h("button", { type: "button", class: "main", onclick: () => { box.close(); keepMine(); } }, t("conflict.keep")),
      h("button", { type: "button", onclick: () => { box.close(); takeTheirs(); } }, t("conflict.take")),
      h("button", { type: "button", class: "quiet", onclick: () => box.close() }, t("conflict.later"))));
}

export function compare(left, right, leftName, rightName) {
  const [a, b] = [left.split("\n"), right.split("\n")];
  const [inA, inB] = common(a, b);
  const side = (name, lines, shared) => h("section", { class: "side" }, h("h3", {}, name),
    h("pre", { tabindex: "0", role: "group", "aria-label": name }, lines.map((line, n) => shared.has(n) ? `${line}\n` : h("mark", {}, `${line || " "}\n`))));
  return h("div", { class: "sides" }, side(leftName, a, inA), side(rightName, b, inB));
}

// Which lines of both stand in both, in the same order.
function common(a, b) {
  let start = 0;
  while (start < a.length && start < b.length && a[start] === b[start]) start++;
  let end = 0;
  while (end < a.length - start && end < b.length - start && a[a.length - 1 - end] === b[b.length - 1 - end]) end++;
  const [inA, inB] = [new Set(), new Set()];
  for (let n = 0; n < start; n++) { inA.add(n); inB.add(n); }
  for (let n = 0; n < end; n++) { inA.add(a.length - 1 - n); inB.add(b.length - 1 - n); }
  const [rows, columns] = [a.length - start - end, b.length - start - end];
  if (rows * columns > 250000) return [inA, inB];
  const best = Array.from({ length: rows + 1 }, () => new Uint16Array(columns + 1));
  for (let i = rows - 1; i >= 0; i--) for (let j = columns - 1; j >= 0; j--) {
    best[i][j] = a[start + i] === b[start + j] ? best[i + 1][j + 1] + 1 : Math.max(best[i + 1][j], best[i][j + 1]);
  }
  for (let i = 0, j = 0; i < rows && j < columns;) {
    if (a[start + i] === b[start + j]) { inA.add(start + i); inB.add(start + j); i++; j++; }
    else if (best[i + 1][j] >= best[i][j + 1]) i++; else j++;
  }
  return [inA, inB];
}
