// The page: which screen is shown, in which language, light or dark.
import { sayRefusal } from "./dialog.js";
import { drawing, fill, fresh, h } from "./dom.js";
import { desk } from "./desk.js";
import { shelf } from "./shelf.js";
import { dress, theme, THEMES } from "./theme.js";
import { language, LANGUAGES, speak, spoken, t } from "./words.js";

const MARK = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32" width="28" height="28" fill="none" stroke="currentColor" stroke-width="3.2" stroke-linecap="round"><path d="M10 4c0 6 12 6 12 12s-12 6-12 12"/><path d="M22 4c0 6-12 6-12 12s12 6 12 12"/></svg>';

const root = document.getElementById("page");
let leave = () => {};
let main;

function frame() {
  const select = (name, options, value, changed) => {
    const id = fresh("setting");
    return h("div", { class: "setting" }, h("label", { for: id }, name),
      h("select", { id, onchange: (event) => changed(event.target.value) }, options.map(([key, words]) => h("option", { value: key, selected: key === value ? "" : null }, words))));
  };
  main = h("main", { id: "main" });
  fill(root,
    h("a", { class: "skip", href: "#main", onclick: (event) => { event.preventDefault(); main.querySelector("h1")?.focus(); } }, t("skip")),
    h("header", { class: "top" },
      h("a", { class: "home", href: "#/" }, drawing(MARK), h("span", {}, t("home"))),
      h("div", { class: "settings" },
        select(t("language"), Object.entries(LANGUAGES), language, async (value) => { await speak(value); frame(); route(); }),
        select(t("theme"), THEMES.map((one) => [one, t(`theme.${one}`)]), theme(), dress))),
    main, h("div", { id: "said", class: "saids", role: "status", "aria-live": "polite" }));
}

let turn = 0;
async function route() {
  const mine = ++turn;
  leave();
  leave = () => {};
  const [path, query] = location.hash.slice(1).split("?");
  const asked = new URLSearchParams(query || "");
  // Each screen has a place of its own: one that comes late fills a place that is no longer shown.
  const place = h("div", {}, h("h1", { class: "vh" }, "Plaitbook"), h("p", { class: "waiting" }, t("waiting")));
  fill(main, place);
  try {
    if (path === "/desk" && asked.get("file")) {
      const shown = await desk(place, asked.get("file"), asked.get("look"), go);
      if (mine !== turn) shown.leave(); else leave = shown.leave;
    } else await shelf(place, go);
  } catch (error) {
    fill(place, h("div", { class: "start" }, h("h1", { tabindex: "-1" }, t("notfound")), h("p", {}, [error.message, error.help].filter(Boolean).join(". ")), h("p", {}, h("a", { href: "#/" }, t("home")))));
    sayRefusal(error);
  }
}

function go(address) {
  if (location.hash === address) route();
  else location.hash = address;
}

dress();
await speak(spoken());
frame();
addEventListener("hashchange", route);
addEventListener("unhandledrejection", (event) => sayRefusal(event.reason));
await route();
