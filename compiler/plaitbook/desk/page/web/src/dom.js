// Elements from plain calls: h("p", {class: "note"}, "words"). Text is always text, never HTML.

export function h(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked" || name === "disabled" || name === "hidden") element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  put(element, ...children);
  return element;
}

export function put(element, ...children) {
  for (const child of children.flat(Infinity)) {
    if (child !== null && child !== undefined && child !== false) element.append(child);
  }
  return element;
}

export function fill(element, ...children) {
  element.replaceChildren();
  return put(element, ...children);
}

let count = 0;
export const fresh = (what) => `${what}-${++count}`;

// A drawing of ours as an element; the text is part of this program.
export function drawing(svg) {
  const parsed = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  const element = document.importNode(parsed, true);
  element.setAttribute("aria-hidden", "true");
  return element;
}
