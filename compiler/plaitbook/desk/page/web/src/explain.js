// Where a figure comes from: its formula, its inputs, and theirs, down to a line of the recipe or a source.
import { ask } from "./api.js";
import { dialog, sayRefusal } from "./dialog.js";
import { fill, h } from "./dom.js";
import { t } from "./words.js";

export async function explain(question, wanted, goTo) {
  try {
    const answer = await ask("explain", { ...question, ...wanted });
    const { box, body } = dialog(t("explain.title"));
    if (answer.figures) { fill(body, list(answer.figures, question, body, goTo, box)); return; }
    if (!answer.why) {
      fill(body, h("p", {}, t("explain.written", { number: wanted.number })),
        h("button", { type: "button", onclick: () => { box.close(); explain(question, {}, goTo); } }, t("explain.all")));
      return;
    }
    tell(answer, question, body, goTo, box);
  } catch (error) { sayRefusal(error); }
}

function tell(answer, question, body, goTo, box) {
  const { root, nodes } = answer.why;
  const others = (answer.found || []).filter((one) => one.key !== root);
  fill(body, tree(root, nodes, new Set(), goTo, box, true),
    others.length ? h("details", { class: "others" }, h("summary", {}, t("explain.others")), list(others, question, body, goTo, box)) : null);
}

function list(figures, question, body, goTo, box) {
  const rows = h("ul", { class: "figures" });
  const show = (part) => fill(rows, figures.filter((one) => `${one.label} ${one.key}`.toLowerCase().includes(part.toLowerCase())).slice(0, 60)
    .map((one) => h("li", {}, h("button", {
      type: "button", class: "row",
      onclick: async () => {
        try { tell(await ask("explain", { ...question, key: one.key }), question, body, goTo, box); body.focus(); } catch (error) { sayRefusal(error); }
      },
    }, h("span", {}, one.label), h("strong", {}, one.said)))));
  show("");
  return figures.length > 12 ? [h("label", {}, t("explain.find"), h("input", { type: "search", oninput: (event) => show(event.target.value) })), rows] : rows;
}

function tree(key, nodes, above, goTo, box, open) {
  const node = nodes[key];
  const below = new Set([...above, key]);
  return h("div", { class: "why" },
    open ? h("h3", {}, `${node.label}: `, h("strong", {}, node.said)) : null,
    node.formula ? h("p", { class: "formula" }, node.how === "formula" ? h("code", {}, `= ${node.formula}`) : node.formula) : null,
    node.source ? h("p", { class: "source" }, t("explain.source", { source: node.source })) : null,
    node.inputs.length ? h("ul", {}, node.inputs.map((input) => h("li", {}, inputLine(input, nodes, below, goTo, box)))) : null);
}

function inputLine(input, nodes, above, goTo, box) {
  const head = [h("span", {}, `${input.name} = `), h("strong", {}, input.said), input.label && input.label !== input.name ? h("span", { class: "soft" }, ` (${input.label})`) : null];
  if (input.key && nodes[input.key] && !above.has(input.key)) {
    const details = h("details", {}, h("summary", {}, head));
    details.addEventListener("toggle", () => {
      if (details.open && details.children.length === 1) details.append(tree(input.key, nodes, above, goTo, box, false));
    });
    return details;
  }
  return [head, input.where ? h("span", { class: "soft" }, ` – ${input.where}`) : null,
    input.line && goTo(input.file) ? h("button", { type: "button", class: "quiet", onclick: () => { box.close(); goTo(input.file)(input.line); } }, t("line", { line: input.line })) : null];
}
