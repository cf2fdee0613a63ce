// The desk counts lines and columns from 1, in whole characters; the editor counts UTF-16 units from 0.

export function offset(doc, line, column) {
  const found = doc.line(Math.min(Math.max(1, line), doc.lines));
  let at = 0;
  for (let n = 1; n < column && at < found.length; n++) at += found.text.codePointAt(at) > 0xffff ? 2 : 1;
  return found.from + Math.min(at, found.length);
}

export function lineAndColumn(doc, position) {
  const found = doc.lineAt(position);
  return { line: found.number, column: [...found.text.slice(0, position - found.from)].length + 1 };
}

export function range(doc, span) {
  const from = offset(doc, span.line, span.column);
  return { from, to: Math.max(from, offset(doc, span.line, span.end ?? span.end_column ?? span.column)) };
}
