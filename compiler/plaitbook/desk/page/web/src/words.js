// The page's words in the language in use. A missing word shows its key, so that it is seen and mended.

export const LANGUAGES = { en: "English", fr: "Français", es: "Español", pt: "Português" };

let words = {};
export let language = "en";

export async function speak(wanted) {
  language = wanted in LANGUAGES ? wanted : "en";
  words = await (await fetch(`/page/${language}.json`)).json();
  document.documentElement.lang = language;
  remember("language", language);
}

export function spoken() {
  const kept = recalled("language");
  if (kept in LANGUAGES) return kept;
  return navigator.languages.map((name) => name.slice(0, 2)).find((name) => name in LANGUAGES) || "en";
}

export function t(key, given = {}) {
  return (words[key] ?? key).replace(/\{(\w+)\}/g, (whole, name) => (name in given ? given[name] : whole));
}

export const has = (key) => key in words;

export function moment(iso) {
  const when = new Date(iso);
  const today = when.toDateString() === new Date().toDateString();
  return when.toLocaleString(language, today ? { hour: "2-digit", minute: "2-digit" } :
    { day: "numeric", month: "short", year: "numeric", hour: "2-digit", minute: "2-digit" });
}

// What a browser remembers of the page: settings, never a client's details.
export function remember(name, value) {
  try { localStorage.setItem(`plaitbook-${name}`, value); } catch { /* a private window */ }
}
export function recalled(name) {
  try { return localStorage.getItem(`plaitbook-${name}`); } catch { return null; }
}
export function forget(name) {
  try { localStorage.removeItem(`plaitbook-${name}`); } catch { /* a private window */ }
}

// Who the card is for, as long as the tab lives.
export function wearerNow(name) {
  try {
    if (name !== undefined) sessionStorage.setItem("plaitbook-wearer", name);
    return sessionStorage.getItem("plaitbook-wearer") || "";
  } catch { return ""; }
}
