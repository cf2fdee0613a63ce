// Our own small drawings for the form: how to judge a strand, how close hair grows, how far it reaches.
import { drawing } from "./dom.js";

const frame = (inside) => `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 96 72" width="96" height="72" fill="none" stroke="currentColor" stroke-linecap="round" stroke-linejoin="round">${inside}</svg>`;

// A strand between thumb and finger tip, thinner or thicker.
const strand = (width) => frame(
  `<path d="M8 60c10-2 18-8 22-16 3-6 8-8 12-5 3 3 2 7-1 11-5 7-10 13-16 17" stroke-width="2"/>` +
  `<path d="M88 60c-8 0-18-5-24-12-4-5-9-6-13-4-3 2-3 6 0 9 6 6 12 11 20 14" stroke-width="2"/>` +
  `<path d="M46 42C44 30 52 20 46 4" stroke-width="${width}"/>`);

// A parting from above: how much scalp is seen between the roots.
const dots = (gap) => {
  let inside = `<circle cx="48" cy="36" r="31" stroke-width="2"/>`;
  for (let y = 8; y < 66; y += gap) for (let x = 20 + ((y / gap) % 2) * gap / 2; x < 78; x += gap) {
    if (Math.hypot(x - 48, y - 36) < 28) inside += `<path d="M${x.toFixed(1)} ${(y + 1.6).toFixed(1)}l.8-3.4" stroke-width="1.5"/>`;
  }
  return frame(inside);
};

// One hair as it falls; a curl is a coil seen from the side.
const coil = (radius, turns) => {
  let path = "";
  for (let n = 0; n <= turns * 16; n++) {
    const angle = (n / 16) * 2 * Math.PI;
    path += `${n ? "L" : "M"}${(48 + radius * Math.cos(angle)).toFixed(1)} ${(7 + (58 * n) / (turns * 16) + radius * 0.45 * Math.sin(angle)).toFixed(1)}`;
  }
  return path;
};
const fall = { straight: "M48 4v64", wavy: "M48 4c10 10-10 18 0 28s-10 18 0 36", curly: coil(11, 4), coily: coil(6, 9) };

// A head from behind, with hair down to a landmark of the back.
const reach = (to) => frame(
  `<circle cx="48" cy="15" r="10" stroke-width="2"/><path d="M43 25v5c-14 2-22 6-24 16v24M53 25v5c14 2 22 6 24 16v24" stroke-width="2"/>` +
  `<path d="M40 10V${to}M44 8V${to}M48 7V${to}M52 8V${to}M56 10V${to}" stroke-width="2.4"/>`);

const drawn = {
  "strand.fine": strand(0.8), "strand.medium": strand(2), "strand.coarse": strand(3.6),
  "density.sparse": dots(11), "density.medium": dots(7.5), "density.dense": dots(5),
  ...Object.fromEntries(Object.entries(fall).map(([name, path]) => [`texture.${name}`, frame(`<path d="${path}" stroke-width="2.2"/>`)])),
  "length.ear": reach(18), "length.chin": reach(25), "length.shoulder": reach(33), "length.armpit": reach(45), "length.midback": reach(56), "length.waist": reach(69),
};

export const picture = (name) => (name in drawn ? drawing(drawn[name]) : null);
