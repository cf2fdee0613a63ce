// The recipe's editor: CodeMirror with the compiler's own mistakes, fixes, completion and explanations.
import { acceptCompletion, autocompletion, completionKeymap } from "@codemirror/autocomplete";
import { defaultKeymap, history, historyKeymap, redo, undo } from "@codemirror/commands";
import { forEachDiagnostic, lintGutter, lintKeymap, setDiagnostics } from "@codemirror/lint";
import { Compartment, EditorState } from "@codemirror/state";
import { EditorView, highlightActiveLine, hoverTooltip, keymap, lineNumbers } from "@codemirror/view";
import { h } from "./dom.js";
import { language } from "./highlight.js";
import { lineAndColumn, offset, range } from "./places.js";
import { t } from "./words.js";

export function makeEditor({ parent, text, changed, save, complete, hover, readOnly = false }) {
  const nonce = document.querySelector("meta[name=plaitbook-nonce]").content;
  const named = new Compartment();
  const view = new EditorView({
    parent,
    state: EditorState.create({
      doc: text,
      extensions: [
        EditorView.cspNonce.of(nonce), lineNumbers(), history(), highlightActiveLine(), EditorView.lineWrapping,
        language, lintGutter(), EditorState.readOnly.of(readOnly),
        named.of(EditorView.contentAttributes.of({ "aria-label": t("editor.name"), tabindex: "0", spellcheck: "false", autocapitalize: "off" })),
        EditorState.phrases.of(phrases()),
        autocompletion({ override: [(context) => offers(context, complete)], activateOnTypingDelay: 60 }),
        hoverTooltip((view, position) => about(view, position, hover), { hoverTime: 350 }),
        keymap.of([
          { key: "Mod-s", preventDefault: true, run: () => { save(); return true; } },
          { key: "Tab", run: acceptCompletion },
          ...completionKeymap, ...lintKeymap, ...historyKeymap, ...defaultKeymap,
        ]),
        EditorView.updateListener.of((update) => { if (update.docChanged) changed(update); }),
      ],
    }),
  });
  return view;
}

function phrases() {
  const said = {};
  for (const phrase of ["Diagnostics", "No diagnostics", "Completions", "current match", "Control character", "Selection deleted"]) {
    said[phrase] = t(`editor.${phrase.toLowerCase().replaceAll(" ", "_")}`);
  }
  said.close = t("close");
  return said;
}

async function offers(context, complete) {
  const word = context.matchBefore(/[\p{L}\d'’_-]*/u);
  if (!context.explicit && word && word.from === word.to && !/[:, "]$/.test(context.state.sliceDoc(Math.max(0, context.pos - 1), context.pos))) return null;
  const doc = context.state.doc;
  const found = await complete(doc.toString(), lineAndColumn(doc, context.pos));
  if (context.aborted || !found.length) return null;
  const at = range(doc, found[0]);
  return {
    from: Math.min(at.from, context.pos), to: context.pos,
    options: found.map((offer, place) => ({ label: offer.label, apply: offer.insert, detail: offer.detail, type: offer.what, boost: -place / 100 })),
    validFor: /^[\p{L}\d'’_-]*$/u,
  };
}

async function about(view, position, hover) {
  const found = await hover(view.state.doc.toString(), lineAndColumn(view.state.doc, position));
  if (!found || !found.text) return null;
  const { from, to } = range(view.state.doc, found);
  return { pos: from, end: to, above: true, create: () => ({ dom: h("div", { class: "about" }, plain(found.text)) }) };
}

// The compiler speaks Markdown of a very plain kind: paragraphs, bold, code, lists.
export function plain(text) {
  return text.split(/\n{2,}/).map((block) => h("p", {}, block.split("\n").flatMap((line, n) => [
    n ? h("br") : null,
    ...line.replace(/^[-*] /, "• ").split(/(\*\*[^*]+\*\*|`[^`]+`)/).map((bit) =>
      bit.startsWith("**") ? h("strong", {}, bit.slice(2, -2)) : bit.startsWith("`") ? h("code", {}, bit.slice(1, -1)) : bit),
  ])));
}

// Mistakes and remarks, underlined in the text, each with the fixes that can be put in place.
export function mark(view, name, problems, findings) {
  const doc = view.state.doc;
  const found = problems.filter((p) => p.file === name).map((p) => {
    const { from, to } = range(doc, p);
    return {
      from, to: Math.max(to, Math.min(from + 1, doc.length)), severity: "error", source: p.code,
      message: p.help ? `${p.message}\n${p.help}` : p.message,
      fixes: JSON.stringify(p.fixes), actions: p.fixes.map((fix) => ({ name: fix.title, apply: (view) => mend(view, fix) })),
    };
  });
  for (const finding of findings) {
    if (finding.file !== name || !finding.line || finding.line > doc.lines || finding.severity === "ask") continue;
    const line = doc.line(finding.line);
    const start = line.from + line.text.length - line.text.trimStart().length;
    found.push({
      from: start, to: line.to, severity: finding.severity === "note" ? "info" : "warning", source: finding.code,
      message: finding.fix && !finding.allowed ? `${finding.message}\n${finding.fix}` : finding.message,
    });
  }
  found.sort((a, b) => a.from - b.from);
  const key = (one, from = one.from, to = one.to) => [from, to, one.severity, one.source, one.message, one.fixes].join(" ");
  const shown = [];
  forEachDiagnostic(view.state, (one, from, to) => shown.push(key(one, from, to)));
  // Most keys move no mistake, and to mark the same again would lay the text out again.
  if (shown.join() !== found.map((one) => key(one)).join()) view.dispatch(setDiagnostics(view.state, found));
}

export function mend(view, fix) {
  const changes = fix.edits.map((edit) => ({ ...range(view.state.doc, edit), insert: edit.text }));
  view.dispatch({ changes, userEvent: "input.fix" });
  view.focus();
}

export function goTo(view, line, column = 1) {
  const at = offset(view.state.doc, line, column);
  view.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: "center" }) });
  view.focus();
}

export function replaceAll(view, text) {
  view.dispatch({ changes: { from: 0, to: view.state.doc.length, insert: text }, userEvent: "input.whole" });
}

export { undo, redo };
