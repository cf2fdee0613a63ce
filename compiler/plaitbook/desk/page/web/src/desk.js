// One file on the desk: the recipe, its numbers, and the card that follows.
import { ask, look as lookAt, Refused, tab } from "./api.js";
import { makeCard } from "./card.js";
import { dialog, say, sayRefusal } from "./dialog.js";
import { fill, fresh, h } from "./dom.js";
import { keeper, unsent } from "./drafts.js";
import { goTo, makeEditor, mark, mend, redo, replaceAll, undo } from "./editor.js";
import { explain } from "./explain.js";
import { follower } from "./live.js";
import { makeNumbers } from "./numbers.js";
import { newWearer } from "./shelf.js";
import { showTotals } from "./totals.js";
import { showConflict, showHistory } from "./versions.js";
import { language, LANGUAGES, moment, recalled, remember, t, wearerNow } from "./words.js";

const PAPERS = ["letter", "a4", "half"];
const OTHERS = ["shopping", "quote", "intake", "crew", "handout", "aftercare"];

export async function desk(place, file, wantedLook, go) {
  const [book, opened] = await Promise.all([lookAt("book"), ask("open", { name: file })]);
  let base = opened.version;
  let theirs = null;
  let look = wantedLook || opened.looks[0] || "";
  let picks = {};
  let picked = {};
  let choices = "";
  let broken = false;
  const isRecipe = opened.looks.length > 0;
  document.title = `${look || file} – Plaitbook`;

  // --- what stands where

  const status = h("p", { class: "kept-said", role: "status" }, t("kept.saved"));
  const notices = h("div", { class: "notices" });
  const mistakes = h("div", { class: "mistakes", role: "region", "aria-label": t("mistakes.title"), "aria-live": "polite" });
  // The list stands under the text, which may be longer than the window: this says that there is one.
  const wrong = h("button", { type: "button", class: "quiet wrong", hidden: true, onclick: () => mistakes.scrollIntoView({ block: "nearest" }) });
  const totals = h("div", { class: "totals", role: "group", "aria-label": t("total.title") });
  const numbersPlace = h("div", { class: "numbers-place" });
  const editorPlace = h("div", { class: "editor-place" });
  const remarks = h("div", {});
  const card = makeCard((number) => explain(question(), number, goTo_));
  const cardState = h("p", { class: "card-state", role: "status" });

  const button = (words, onclick, more = {}) => h("button", { type: "button", onclick, ...more }, words);
  const pick = (name, options, value, changed, extra) => {
    const id = fresh("pick");
    const select = h("select", { id, onchange: (event) => changed(event.target.value) },
      options.map(([key, words]) => h("option", { value: key, selected: key === value ? "" : null }, words)));
    return h("div", { class: "pick" }, h("label", { for: id }, name), select, extra);
  };

  let wearer = book.wearers.includes(wearerNow()) ? wearerNow() : "";
  let house = book.houses.some((one) => one.name === recalled("house")) ? recalled("house") : book.houses[0]?.name || "";
  let paper = PAPERS.includes(recalled("paper")) ? recalled("paper") : "";
  let printed = recalled("card-language") in LANGUAGES ? recalled("card-language") : "";
  const choicePicks = h("div", { class: "choice-picks" });
  const wearerPick = () => pick(t("pick.wearer"), [["", t("pick.nobody")], ...book.wearers.map((name) => [name, name])], wearer,
    (value) => { wearer = wearerNow(value); live.go(); },
    button(`+ ${t("shelf.newwearer")}`, () => newWearer(async (name) => {
      book.wearers.push(name);
      wearer = wearerNow(name);
      fill(whom, wearerPick());
      live.go();
    }, book), { class: "quiet add" }));
  const whom = h("div", { class: "whom" }, book.guest ? null : wearerPick());
  const pickers = h("div", { class: "pickers" }, whom,
    book.houses.length ? pick(t("pick.house"), book.houses.map((one) => [one.name, one.name]), house, (value) => { house = value; remember("house", value); live.go(); }) : null,
    choicePicks,
    pick(t("pick.paper"), [["", t("pick.houses_paper")], ...PAPERS.map((one) => [one, t(`paper.${one}`)])], paper, (value) => { paper = value; remember("paper", value); live.go(); }),
    pick(t("pick.language"), [["", t("pick.houses_language")], ...Object.entries(LANGUAGES)], printed, (value) => { printed = value; remember("card-language", value); live.go(); }));

  pickers.id = fresh("pickers");
  // On a phone the pickers fold away; the button says for whom and where the card is.
  const folder = button("", (event) => {
    const open = pickers.classList.toggle("open");
    event.currentTarget.setAttribute("aria-expanded", String(open));
  }, { class: "fold", "aria-expanded": "false", "aria-controls": pickers.id });
  const tellFolder = () => fill(folder, h("span", {}, `${t("pick.wearer")} `, h("strong", {}, wearer || t("pick.nobody")), house ? ` · ${house}` : "", Object.values(picked).map((one) => ` · ${one}`)));

  const asking = button(t("explain.mode"), (event) => {
    const yes = event.currentTarget.getAttribute("aria-pressed") !== "true";
    event.currentTarget.setAttribute("aria-pressed", String(yes));
    card.ask(yes);
    if (yes) say(t("explain.mode.on"));
  }, { class: "quiet", "aria-pressed": "false" });
  const cardPane = h("section", { class: "pane pane-card", "aria-labelledby": "card-title" },
    h("div", { class: "pane-head" }, h("h2", { id: "card-title" }, t("card.title")),
      h("div", { class: "actions" }, button(t("card.print"), printIt), button(t("card.pdf"), () => paperFile("card")),
        button(t("card.station"), () => station(false)), button(t("card.more"), morePapers))),
    cardState, h("p", { class: "hint" }, t("card.hint"), " ", asking), remarks, card.host);
  const recipePane = h("section", { class: "pane pane-recipe", "aria-labelledby": "recipe-title" },
    h("div", { class: "pane-head" }, h("h2", { id: "recipe-title" }, t("recipe.title")),
      h("div", { class: "actions" }, wrong, button(t("undo"), () => { undo(view); view.focus(); }), button(t("redo"), () => { redo(view); view.focus(); }))),
    editorPlace, mistakes);
  const numbersPane = h("section", { class: "pane pane-numbers", "aria-labelledby": "numbers-title" },
    h("div", { class: "pane-head" }, h("h2", { id: "numbers-title" }, t("numbers.title"))), numbersPlace);
  const title = h("h1", { tabindex: "-1" }, look || file);
  const panes = h("div", { class: `panes ${isRecipe ? "" : "no-card"}`, "data-shown": "recipe" }, recipePane, isRecipe ? numbersPane : null, isRecipe ? cardPane : null);
  const switcher = isRecipe ? h("div", { class: "switcher", role: "group", "aria-label": t("switch.title") }, ["recipe", "numbers", "card"].map((name) =>
    button(t(`${name}.title`), (event) => {
      panes.dataset.shown = name;
      pickers.classList.remove("open"); // it would lie over what was asked for
      folder.setAttribute("aria-expanded", "false");
      panes.scrollIntoView({ block: "nearest" });
      for (const other of switcher.children) other.setAttribute("aria-pressed", String(other === event.currentTarget));
    }, { "aria-pressed": String(name === "recipe") }))) : null;

  fill(place, h("div", { class: "desk" },
    h("div", { class: "desk-head" },
      h("div", { class: "desk-title" }, title, h("p", { class: "soft" }, file), status),
      h("div", { class: "actions" },
        button(t("save"), () => save(), { class: "main", "aria-keyshortcuts": "Control+S" }),
        button(t("history.title"), () => showHistory(file, () => view.state.doc.toString(), (text) => { replaceAll(view, text); say(t("history.brought")); })))),
    isRecipe ? folder : null, isRecipe ? pickers : null, isRecipe ? totals : null, notices, panes, switcher));

  // --- the text

  tellFolder();
  const view = makeEditor({
    parent: editorPlace, text: opened.text, save: () => save(),
    changed(update) { numbers.move(update.changes); keep.changed(); live.go(); },
    async complete(text, at) {
      try { return (await ask("complete", { ...question(), text, ...at })).offers; } catch { return []; }
    },
    async hover(text, at) {
      try { return await ask("hover", { ...question(), text, ...at }); } catch { return null; }
    },
  });
  const numbers = makeNumbers(numbersPlace, (at, words) => {
    view.dispatch({ changes: { ...at, insert: words }, userEvent: "input.slider" });
    return { from: at.from, to: at.from + words.length };
  });
  const question = () => ({
    name: file, text: view.state.doc.toString(), look, wearer: wearer || null, house: house || null, picks, paper: paper || null, language, card_language: printed || null,
  });
  const goTo_ = (wanted) => (wanted === file ? (line) => { shown("recipe"); goTo(view, line); } : null);
  const shown = (name) => { if (switcher) [...switcher.children][["recipe", "numbers", "card"].indexOf(name)].click(); };

  const keep = keeper({
    name: file, text: () => view.state.doc.toString(), base: () => base,
    told(words, kind) { status.textContent = words; status.dataset.kind = kind; },
    moved: elsewhere,
  });

  // --- the card

  const live = follower({
    question: () => ({ ...question(), have: card.have() }),
    inView: card.inView,
    ahead() {
      const next = numbers.next();
      return next && view.state.sliceDoc(0, next.from) + next.words + view.state.sliceDoc(next.to);
    },
    got: show,
    failed(error) {
      fill(cardState, error instanceof Refused ? [error.message, error.help].join(". ") : t("unreachable"));
      cardState.classList.add("wrong");
    },
  });

  function show(answer, asked) {
    elsewhere(answer.version);
    if (answer.picked) picked = answer.picked;
    tellFolder();
    const now = view.state.doc.toString() === asked.text;
    if (now) {
      mark(view, file, answer.problems, answer.findings);
      if (isRecipe && answer.sliders) numbers.show(view.state.doc, answer.sliders, picked);
      tellMistakes(answer.problems);
    }
    if (answer.look && answer.look !== look) { look = answer.look; title.textContent = look; document.title = `${look} – Plaitbook`; }
    if (answer.choices && JSON.stringify(answer.choices) !== choices) {
      choices = JSON.stringify(answer.choices);
      const names = answer.choices.map((one) => one.name);
      picks = Object.fromEntries(Object.entries(picks).filter(([name, option]) => names.includes(name) && answer.choices.find((one) => one.name === name).options.includes(option)));
      fill(choicePicks, answer.choices.map((one) => pick(one.name, one.options.map((option) => [option, option]), picks[one.name] || one.default || one.options[0],
        (value) => { picks = { ...picks, [one.name]: value }; live.go(); })));
    }
    broken = !answer.order;
    card.stale(broken && !card.empty());
    totals.classList.toggle("stale", broken && !card.empty());
    totals.setAttribute("aria-label", broken && !card.empty() ? `${t("total.title")} ${t("total.old")}` : t("total.title"));
    cardState.classList.toggle("wrong", broken);
    if (broken) { fill(cardState, isRecipe ? t(card.empty() ? "card.none" : "card.old") : ""); return; }
    fill(cardState);
    card.show(answer);
    showTotals(totals, answer.totals, (wanted) => explain(question(), wanted, goTo_));
    place.dispatchEvent(new CustomEvent("card", { detail: answer }));
  }

  function tellMistakes(problems) {
    const said = JSON.stringify(problems);
    if (mistakes.dataset.said === said) return;
    mistakes.dataset.said = said;
    const many = t(problems.length === 1 ? "mistakes.one" : "mistakes.many", { n: problems.length });
    wrong.hidden = !problems.length;
    wrong.textContent = many;
    fill(mistakes, problems.length ? [h("h3", {}, many),
      h("ol", {}, problems.map((problem) => h("li", {},
        h("p", {}, problem.file === file ?
          button(t("line", { line: problem.line }), () => goTo(view, problem.line, problem.column), { class: "quiet" }) :
          h("a", { href: `#/desk?${new URLSearchParams({ file: problem.file, line: problem.line })}` }, `${problem.file} ${problem.line}`), " ", problem.message),
        problem.help ? h("p", { class: "help" }, problem.help) : null,
        problem.fixes.length ? h("p", { class: "actions" }, problem.fixes.map((fix) => button(t("mistakes.fix", { fix: fix.title }), () => mend(view, fix)))) : null)))] : []);
  }

  // --- saving, and the file as others change it

  async function save(over = base) {
    try {
      const sent = view.state.doc.toString();
      const answer = await ask("save", { name: file, tab, base: over, text: sent });
      if (answer.conflict) { theirs = answer; conflict(); return; }
      base = answer.version;
      theirs = null;
      fill(notices);
      if (view.state.doc.toString() === sent) { keep.saved(); status.textContent = t("kept.saved"); status.dataset.kind = "saved"; } else keep.changed();
      say(t("kept.saved"), "good");
      live.go();
    } catch (error) { sayRefusal(error); }
  }

  function conflict() {
    showConflict({
      mine: view.state.doc.toString(), theirs: theirs.text,
      keepMine: () => save(theirs.version),
      async takeTheirs() {
        await keep.now();
        try { await ask("aside", { name: file, of: tab }); } catch (error) { sayRefusal(error); return; }
        base = theirs.version;
        replaceAll(view, theirs.text);
        theirs = null;
        fill(notices);
      },
    });
  }

  let seen = base;
  async function elsewhere(version) {
    if (version === base || version === seen || !version) return;
    seen = version;
    try {
      const there = await ask("open", { name: file });
      if (there.version === base) return;
      theirs = there;
      notice(t("conflict.notice"), button(t("conflict.look"), conflict, { class: "main" }));
    } catch (error) { sayRefusal(error); }
  }

  function notice(words, ...buttons) {
    fill(notices, h("div", { class: "notice", role: "alert" }, h("p", {}, words), h("div", { class: "actions" }, buttons)));
  }

  function offerDraft() {
    const left = [...opened.drafts];
    const mine = unsent(file);
    if (mine && mine.text !== opened.text) left.unshift({ text: mine.text, when: mine.when, tab: null });
    const newest = left.sort((a, b) => b.when.localeCompare(a.when))[0];
    if (!newest) return;
    notice(t("draft.found", { when: moment(newest.when) }),
      button(t("draft.take"), () => { replaceAll(view, newest.text); fill(notices); view.focus(); }, { class: "main" }),
      button(t("draft.aside"), async () => {
        try { if (newest.tab) await ask("aside", { name: file, of: newest.tab }); fill(notices); } catch (error) { sayRefusal(error); }
      }));
  }

  // --- paper and the chair

  function printIt() {
    shown("card");
    document.documentElement.dataset.paper = paper || "";
    print();
  }

  async function paperFile(what) {
    say(t("card.making"));
    try { download(await ask("paper", { ...question(), what }), `${(look || "card").replace(/[^\p{L}\p{N}]+/gu, "-").toLowerCase()}-${what}.pdf`); } catch (error) { sayRefusal(error); }
  }

  function download(blob, name) {
    const link = h("a", { href: URL.createObjectURL(blob), download: name });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  async function station(send) {
    try {
      const made = await ask("station", { ...question(), send });
      const absolute = new URL(made.address, location.href);
      dialog(t("station.title"), h("p", {}, t(made.sent ? "station.sent" : "station.made")),
        h("p", { class: "actions" }, h("a", { class: "button main", href: absolute.href, target: "_blank", rel: "noopener" }, t("station.open")),
          button(t("station.file"), async () => download(await (await fetch(made.address)).blob(), made.name)),
          book.code && !made.sent ? button(t("station.send"), () => station(true)) : null));
    } catch (error) { sayRefusal(error); }
  }

  function morePapers() {
    dialog(t("card.more"), h("div", { class: "actions papers" }, OTHERS.map((what) => button(t(`paper.${what}`), () => paperFile(what)))));
  }

  offerDraft();
  const address = new URLSearchParams(location.hash.split("?")[1]);
  if (address.get("show")) shown(address.get("show"));
  if (address.get("line")) goTo(view, +address.get("line"));
  else title.focus();
  live.go();
  return { leave() { live.stop(); keep.stop(); view.destroy(); } };
}
