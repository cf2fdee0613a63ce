// Every change reaches the desk's disk within half a second; where the desk doesn't answer, this browser keeps it.
import { ask, tab } from "./api.js";
import { forget, recalled, remember, t } from "./words.js";

const SOON = 400;
const AGAIN = 2000;

export function keeper({ name, text, base, told, moved }) {
  let timer = null;
  let dirty = false;
  let busy = false;

  async function keep() {
    timer = null;
    if (busy) { later(SOON); return; }
    busy = true;
    dirty = false;
    const sent = text();
    try {
      const answer = await ask("draft", { name, tab, base: base(), text: sent });
      forget(`unsent-${name}`);
      told(t("kept.draft"), "kept");
      moved(answer.version);
    } catch (error) {
      dirty = true;
      if (error instanceof TypeError) {
        remember(`unsent-${name}`, JSON.stringify({ text: sent, when: new Date().toISOString() }));
        told(t("kept.browser"), "wrong");
      } else told([error.message, error.help].join(". "), "wrong");
    }
    busy = false;
    if (dirty) later(AGAIN);
  }

  function later(wait) {
    if (timer === null) timer = setTimeout(keep, wait);
  }

  const leave = () => {
    if (!dirty) return;
    const body = { name, tab, base: base(), text: text() };
    ask("draft", body, { keepalive: true }).catch(() => {});
    dirty = false;
  };
  addEventListener("pagehide", leave);
  const hide = () => { if (document.visibilityState === "hidden") leave(); };
  document.addEventListener("visibilitychange", hide);

  return {
    changed() { dirty = true; told(t("kept.writing"), ""); later(SOON); },
    now: async () => { clearTimeout(timer); timer = null; if (dirty) await keep(); },
    saved() { dirty = false; clearTimeout(timer); timer = null; forget(`unsent-${name}`); },
    stop() {
      leave();
      clearTimeout(timer);
      removeEventListener("pagehide", leave);
      document.removeEventListener("visibilitychange", hide);
    },
  };
}

// A text that never reached the desk, if this browser still has one.
export function unsent(name) {
  try { return JSON.parse(recalled(`unsent-${name}`)); } catch { return null; }
}
