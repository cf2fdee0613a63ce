// The card in a frame of its own style. Only what changed is put in anew, so the eye keeps its place and a tick stays.
import morphdom from "morphdom";
import { h } from "./dom.js";
import { t } from "./words.js";

const NUMBER = /\d+\sh(?:\s\d{2})?|\d+(?:[.,]\d+)*[½⅓⅔¼¾⅛⅜⅝⅞]?|[½⅓⅔¼¾⅛⅜⅝⅞]/g;

export function makeCard(whenAsked) {
  const host = h("div", { class: "card-host" });
  const root = host.attachShadow({ mode: "open" });
  const sheet = h("div", { class: "card" });
  const main = h("div", { class: "card-main" });
  sheet.append(main);
  root.append(h("link", { rel: "stylesheet", href: "/page/card.css" }), h("link", { rel: "stylesheet", href: "/page/card_frame.css" }), sheet);
  const parts = new Map();
  let asking = false;
  const seen = new Set();
  const watch = new IntersectionObserver((entries) => {
    for (const { target, isIntersecting } of entries) if (isIntersecting) seen.add(target.id); else seen.delete(target.id);
  });

  root.addEventListener("click", (event) => {
    const target = event.composedPath()[0];
    if (!(target instanceof Element) || target.closest("input, summary, a")) return;
    const wrapped = target.closest(".num") || numberAt(root, target, event.clientX, event.clientY);
    if (!wrapped) return;
    event.preventDefault();
    tell(wrapped);
  });
  root.addEventListener("keydown", (event) => {
    const target = event.composedPath()[0];
    if (target instanceof Element && target.matches(".num") && (event.key === "Enter" || event.key === " ")) {
      event.preventDefault();
      tell(target);
    }
  });

  function tell(number) {
    const row = number.closest("tr, li, dl div, p, figcaption, dd, h2") || number;
    const part = number.closest("section")?.id || "head";
    whenAsked({ number: number.textContent, beside: row.textContent.replace(/\s+/g, " ").trim().slice(0, 600), part });
  }

  function put(key, fresh) {
    const known = parts.get(key);
    const element = made(fresh.html);
    if (asking) wrapAll(element);
    if (known) {
      const [was, step] = [known.element, element].map((one) => one.querySelector(".step"));
      if (was && step) step.textContent = was.textContent;
      turnInto(known.element, element);
    } else if (element.id) watch.observe(element);
    parts.set(key, { element: known ? known.element : element, mark: fresh.mark });
  }

  function count(order) {
    let steps = 0;
    for (const key of order) {
      const step = parts.get(key).element.querySelector(".step");
      if (step && step.textContent !== String(++steps)) step.textContent = steps;
    }
  }

  return {
    host,
    have: () => Object.fromEntries([...parts].map(([key, part]) => [key, part.mark])),
    // The parts that are seen; null for a card that isn't there yet.
    inView: () => (parts.size ? [...seen] : null),
    show(answer) {
      if (answer.more) {
        for (const [key, fresh] of Object.entries(answer.parts)) if (parts.has(key)) put(key, fresh);
        return;
      }
      const order = [...answer.order];
      // The finished look is drawn when the hands rest; until then the last drawing stays, paler.
      if (parts.has("look") && !order.includes("look")) {
        order.splice(order.indexOf("map") + 1, 0, "look");
        parts.get("look").element.classList.add("old");
      }
      for (const [key, part] of [...parts]) {
        if (order.includes(key)) continue;
        watch.unobserve(part.element);
        seen.delete(key);
        part.element.remove();
        parts.delete(key);
      }
      let before = null;
      for (const key of order) {
        if (answer.parts[key]) put(key, answer.parts[key]);
        const { element } = parts.get(key);
        if (answer.order.includes(key)) element.classList.remove("old");
        if (before ? before.nextElementSibling !== element : main.firstElementChild !== element) {
          if (before) before.after(element); else main.prepend(element);
        }
        before = element;
      }
      count(order);
    },
    stale(yes) { sheet.classList.toggle("stale", yes); },
    ask(yes) {
      asking = yes;
      for (const { element } of parts.values()) {
        if (yes) wrapAll(element);
        else for (const number of element.querySelectorAll(".num")) number.replaceWith(number.textContent);
      }
    },
    empty: () => parts.size === 0,
  };
}

function turnInto(old, fresh) {
  morphdom(old, fresh, {
    onBeforeElUpdated(from, to) {
      if (from.isEqualNode(to)) return false;
      if (from.open) to.open = true;
      // A strict policy lets a script set a style, and not the attribute it is written in.
      if (to.getAttribute("style") && from.getAttribute("style") !== to.getAttribute("style")) from.style.cssText = to.style.cssText;
      return true;
    },
  });
}

function made(html) {
  const template = document.createElement("template");
  template.innerHTML = html;
  const element = template.content.firstElementChild;
  for (const styled of [element, ...element.querySelectorAll("[data-css]")]) {
    if (styled.dataset.css) { styled.style.cssText = styled.dataset.css; delete styled.dataset.css; }
  }
  // On a phone these cells are grids of two: heading and value. A value stays one thing when its numbers become buttons.
  for (const cell of element.querySelectorAll("td[data-h]")) cell.replaceChildren(h("span", {}, ...cell.childNodes));
  // Headings of the card stand below the page's own.
  for (const title of element.querySelectorAll("h1")) title.setAttribute("aria-level", "2");
  for (const title of element.querySelectorAll("h2")) title.setAttribute("aria-level", "3");
  for (const title of element.querySelectorAll("h3")) title.setAttribute("aria-level", "4");
  for (const title of element.querySelectorAll("h1,h2,h3")) title.setAttribute("role", "heading");
  if (element.tagName !== "SECTION") {
    const frame = h("div", { class: element.tagName === "HEADER" ? "head" : "foot" });
    frame.append(...element.childNodes);
    return frame;
  }
  return element;
}

function wrap(node, asButton) {
  const text = node.data;
  const bits = [];
  let last = 0;
  for (const match of text.matchAll(NUMBER)) {
    bits.push(text.slice(last, match.index));
    bits.push(h("span", asButton ? { class: "num", role: "button", tabindex: "0", "aria-label": `${match[0]}: ${t("explain.ask")}` } : { class: "num" }, match[0]));
    last = match.index + match[0].length;
  }
  if (!last) return;
  bits.push(text.slice(last));
  node.replaceWith(...bits);
}

function wrapAll(element) {
  const walker = document.createTreeWalker(element, NodeFilter.SHOW_TEXT);
  const found = [];
  while (walker.nextNode()) {
    const parent = walker.currentNode.parentElement;
    if (parent && !parent.closest("svg, .num, .vh, summary, [aria-hidden], label")) found.push(walker.currentNode);
  }
  for (const node of found) wrap(node, true);
}

function numberAt(root, target, x, y) {
  if (target.closest("svg")) return null;
  for (const node of [...target.childNodes]) if (node.nodeType === Node.TEXT_NODE) wrap(node, false);
  const found = root.elementFromPoint(x, y);
  return found ? found.closest(".num") : null;
}
