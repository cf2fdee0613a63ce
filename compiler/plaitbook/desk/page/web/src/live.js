// The card follows the typing: one question at a time, and always about the newest text.
import { ask, tab } from "./api.js";

let turn = 0;

// `inView` names the parts of the card that are seen: they come first, and the rest in the frame after.
// `ahead` guesses the text that comes next, or null: the desk works it out while the hand rests.
export function follower({ question, inView, ahead, got, failed }) {
  let asking = false;
  let again = false;
  let stopped = false;
  let idle = null;

  async function go(more = { first: inView() }) {
    if (stopped) return;
    if (asking) { again = true; return; }
    asking = true;
    clearTimeout(idle);
    const asked = { ...question(), ...more };
    let rest = false;
    try {
      const answer = await ask("card", { ...asked, tab, turn: ++turn });
      if (!stopped && !answer.superseded) {
        got(answer, asked);
        rest = answer.more;
      }
    } catch (error) {
      if (!stopped) failed(error);
    }
    asking = false;
    if (again) { again = false; go(); }
    else if (rest) requestAnimationFrame(() => setTimeout(() => { if (!asking) go({}); }));
    else if (!more.with_look) {
      // The drawing of the finished look takes longer than the rest of the card: it comes when the hands rest.
      idle = setTimeout(() => go({ with_look: true }), 900);
      const text = ahead();
      if (text !== null) ask("card", { ...question(), text, tab, turn: ++turn, ahead: true }).catch(() => {});
    }
  }

  return { go: () => go(), stop() { stopped = true; clearTimeout(idle); } };
}
