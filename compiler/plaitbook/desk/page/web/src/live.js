// The card follows the typing: one question at a time, and always about the newest text.
import { ask, tab } from "./api.js";

let turn = 0;

export function follower(question, got, failed) {
  let asking = false;
  let again = false;
  let stopped = false;
  let idle = null;

  async function go(more = {}) {
    if (stopped) return;
    if (asking) { again = true; return; }
    asking = true;
    clearTimeout(idle);
    const asked = { ...question(), ...more };
    try {
      const answer = await ask("card", { ...asked, tab, turn: ++turn });
      if (!stopped && !answer.superseded) got(answer, asked);
    } catch (error) {
      if (!stopped) failed(error);
    }
    asking = false;
    if (again) { again = false; go(); }
    // The drawing of the finished look takes longer than the rest of the card: it comes when the hands rest.
    else if (!more.with_look) idle = setTimeout(() => go({ with_look: true }), 900);
  }

  return { go: () => go(), stop() { stopped = true; clearTimeout(idle); } };
}
