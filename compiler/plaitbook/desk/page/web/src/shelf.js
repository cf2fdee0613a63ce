// The book's looks with their maps, its people and its other files; and the first start, where there is no book yet.
import { ask, look } from "./api.js";
import { dialog, say, sayRefusal } from "./dialog.js";
import { fill, fresh, h } from "./dom.js";
import { remember, t, wearerNow } from "./words.js";
import { wearerForm } from "./wearer.js";

const mapOf = (one) => h("img", {
  src: `/api/map?${new URLSearchParams({ file: one.file, look: one.look })}`, alt: t("shelf.map", { look: one.look }),
  width: 220, height: 220, loading: "lazy", class: "map", onerror: (event) => event.target.replaceWith(h("p", { class: "map no-map" }, t("shelf.nomap"))),
});

export async function shelf(place, go) {
  const book = await look("book");
  if (!book.started) { start(place, book, go); return; }
  document.title = `${book.name} – Plaitbook`;
  const title = h("h1", { tabindex: "-1" }, book.name);
  fill(place,
    h("div", { class: "shelf" },
      title,
      book.code ? h("p", { class: "pairing" }, t("shelf.code"), " ", h("strong", { class: "code" }, book.code)) : null,
      book.guest && book.sent.length ? h("section", { "aria-labelledby": "sent" }, h("h2", { id: "sent" }, t("shelf.sent")),
        h("ul", { class: "rows" }, book.sent.map((one) => h("li", {}, h("a", { class: "row", href: `/station/${one.id}` }, one.title))))) : null,
      book.troubles.length ? h("div", { class: "trouble", role: "note" }, h("p", {}, t("shelf.trouble")), h("ul", {}, book.troubles.map((said) => h("li", {}, said)))) : null,
      h("section", { "aria-labelledby": "looks" }, h("h2", { id: "looks" }, t("shelf.looks")),
        h("ul", { class: "looks" }, book.looks.map((one) => h("li", { class: "look" },
          h("a", { href: address(one), onclick: (event) => { event.preventDefault(); go(address(one)); } },
            mapOf(one), h("span", { class: "look-name" }, one.look), one.demo ? h("span", { class: "demo" }, t("demo")) : null),
          one.summary ? h("p", {}, one.summary) : null,
          h("button", { type: "button", class: "quiet", onclick: () => newLook(one, go) }, t("shelf.copy"), h("span", { class: "vh" }, ` ${one.look}`)))))),
      book.guest ? null : h("section", { "aria-labelledby": "people" }, h("h2", { id: "people" }, t("shelf.people")),
        book.wearers.length ? h("p", { class: "names" }, book.wearers.join(", ")) : h("p", {}, t("shelf.nobody")),
        h("button", { type: "button", onclick: () => newWearer((name) => { wearerNow(name); shelf(place, go).then(() => say(t("shelf.added", { name }), "good")); }, book) }, t("shelf.newwearer"))),
      h("section", { "aria-labelledby": "files" }, h("h2", { id: "files" }, t("shelf.files")), h("p", { class: "hint" }, t("shelf.files.hint")),
        h("ul", { class: "rows" }, book.files.filter((one) => !book.guest || !one.holds.includes("wearer")).map((one) => h("li", {}, h("a", {
          class: "row", href: address(one), onclick: (event) => { event.preventDefault(); go(address(one)); },
        }, h("span", {}, one.file), h("span", { class: "soft" }, one.holds.map((kind) => t(`holds.${kind}`)).join(", ")))))))));
  title.focus();
}

export const address = (one) => `#/desk?${new URLSearchParams(one.look ? { file: one.file, look: one.look } : { file: one.file })}`;

function newLook(one, go) {
  const id = fresh("look");
  const error = h("p", { role: "alert", class: "wrong" });
  const { box } = dialog(t("newlook.title"), h("form", {
    onsubmit: async (event) => {
      event.preventDefault();
      try {
        const made = await ask("look", { file: one.file, look: one.look, name: event.target.elements[0].value });
        box.close();
        go(address(made));
      } catch (refused) { error.textContent = [refused.message, refused.help].join(". "); }
    },
  }, h("p", {}, t("newlook.said", { look: one.look })), h("p", {}, h("label", { for: id }, t("newlook.name")), h("input", { id, type: "text", maxlength: 60, autocomplete: "off", required: true })),
  error, h("p", { class: "actions" }, h("button", { class: "main" }, t("newlook.make")))));
}

export function newWearer(made, book) {
  const units = book.houses[0]?.units || "inch";
  const { box } = dialog(t("wearer.title"), wearerForm(async (given) => {
    const answer = await ask("wearer", given);
    box.close();
    made(answer.wearer);
  }, { units, button: t("wearer.add") }));
}

// --- the first start ---------------------------------------------------------

function start(place, book, go) {
  document.title = `${t("start.title")} – Plaitbook`;
  let chosen = null;
  let units = navigator.language === "en-US" ? "inch" : "metric";
  const step = (n, title, ...content) => {
    const head = h("h1", { tabindex: "-1" }, title);
    fill(place, h("div", { class: "start" }, h("p", { class: "step-count" }, t("start.step", { n, of: 2 })), head, content));
    scrollTo(0, 0);
    head.focus();
  };

  function looks() {
    const name = fresh("units");
    step(1, t("start.title"), h("p", { class: "lead" }, t("start.said")), h("p", { class: "hint" }, t("start.folder", { folder: book.folder })),
      h("fieldset", { class: "plainly" }, h("legend", {}, t("start.units")), h("div", { class: "answers" }, ["inch", "metric"].map((one) => h("label", { class: "answer" },
        h("input", { type: "radio", name, value: one, checked: one === units, onchange: () => { units = one; } }), h("span", { class: "answer-name" }, t(`units.${one}`)))))),
      h("h2", {}, t("start.looks")),
      h("ul", { class: "looks" }, book.looks.map((one) => h("li", { class: "look" },
        h("button", { type: "button", class: "pick", onclick: () => { chosen = one; who(); } }, mapOf(one), h("span", { class: "look-name" }, one.look)),
        one.summary ? h("p", {}, one.summary) : null))));
  }

  function who() {
    const house = book.houses.find((one) => one.units === units)?.name;
    const finish = async (wearer) => {
      const answer = await ask("begin", { wearer });
      if (house) remember("house", house);
      wearerNow(answer.wearer || "");
      go(`${address(chosen)}&show=card`);
    };
    step(2, t("start.who"), h("p", { class: "lead" }, t("start.who.said", { look: chosen.look })),
      wearerForm(finish, { units, button: t("start.make") }),
      h("p", { class: "actions" }, h("button", { type: "button", class: "quiet", onclick: looks }, t("back")),
        h("button", { type: "button", class: "quiet", onclick: () => finish(null).catch(sayRefusal) }, t("start.nobody"))));
  }
  looks();
}
