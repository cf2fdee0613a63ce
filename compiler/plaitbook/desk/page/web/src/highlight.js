// Colours for the recipe's words. The vocabulary comes from the compiler, through the build.
import { HighlightStyle, StreamLanguage, syntaxHighlighting } from "@codemirror/language";
import { tags } from "@lezer/highlight";
import vocabulary from "./vocabulary.json";

const set = (words) => new Set(words);
const heads = set([...vocabulary.blocks, ...vocabulary.statements, "edition", "use"]);
const declared = set(vocabulary.declarations);
const facts = set(vocabulary.facts.map((fact) => fact.split(" ")[0]));
const zones = set(vocabulary.zones);
const units = set(vocabulary.units);
const VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞";
const NUMBER = new RegExp(`^(?:\\d+(?:[.,]\\d+)?(?: \\d+/\\d+|/\\d+)?[${VULGAR}]?|[${VULGAR}])`);
const QUOTED = /^["“”„«»][^"“”„«»]*["“”„«»]?/;

const plait = {
  name: "plait",
  startState: () => ({ first: true, number: false }),
  token(stream, state) {
    if (stream.sol()) { state.first = true; state.number = false; }
    if (stream.eatSpace()) return null;
    if (stream.peek() === "#") { stream.skipToEnd(); return "comment"; }
    const first = state.first;
    const afterNumber = state.number;
    state.first = false;
    state.number = false;
    if (stream.match(NUMBER)) { state.number = true; return "number"; }
    if (afterNumber && stream.match(/^(?:°[cf]|[″′%])/i)) return "unit";
    if (stream.match(QUOTED)) return "string";
    const word = stream.match(/^[^\W\d_][\w'’-]*/u) || stream.match(/^\p{L}[\p{L}\d'’_-]*/u);
    if (word) {
      const said = word[0].toLowerCase();
      if (afterNumber && units.has(said)) return "unit";
      if (first && declared.has(said) && /^\s+["“”„«]/.test(stream.string.slice(stream.pos))) return "typeName";
      if (first && (heads.has(said) || facts.has(said) || /^\s*:/.test(stream.string.slice(stream.pos)))) return "keyword";
      if (zones.has(said)) return "atom";
      return null;
    }
    stream.next();
    return null;
  },
  tokenTable: { unit: tags.unit },
  languageData: { commentTokens: { line: "#" } },
};

const colours = HighlightStyle.define([
  { tag: tags.comment, class: "w-comment" }, { tag: tags.number, class: "w-number" }, { tag: tags.unit, class: "w-unit" },
  { tag: tags.string, class: "w-string" }, { tag: tags.typeName, class: "w-declared" }, { tag: tags.keyword, class: "w-head" },
  { tag: tags.atom, class: "w-zone" },
]);

export const language = [StreamLanguage.define(plait), syntaxHighlighting(colours)];
