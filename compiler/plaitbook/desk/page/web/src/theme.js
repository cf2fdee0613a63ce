// Light, dark, or as the device says.
import { recalled, remember } from "./words.js";

export const THEMES = ["auto", "light", "dark"];

export function theme() {
  const kept = recalled("theme");
  return THEMES.includes(kept) ? kept : "auto";
}

export function dress(wanted = theme()) {
  remember("theme", wanted);
  if (wanted === "auto") delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = wanted;
}
