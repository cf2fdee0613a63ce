"""What an editor asks of a book that is being written: pure questions over one shared session.

The language server, the page and ``plait watch`` all hold one
:class:`~plaitbook.desk.editing.session.Session` and ask the same functions.
Lines and columns count from 1, in code points, as in
:class:`~plaitbook.syntax.problem.Span`. Nothing here raises for anything a
text may hold, however half typed, and nothing outside the book's folder is
read. ``name`` is a file's name in its book (``looks/saltmarsh.plait``);
``request`` says for whom and where (:class:`~plaitbook.compile.Request`).

session.py
    Session(root: Path)
        put(name, text) -> None            an unsaved text over the file
        drop(name) -> None                 the file on disk counts again
        text(name) -> str                  unsaved text, else the file's; "" where there is none
        names() -> tuple[str, ...]         the book's .plait files, at most 300
        problems(name) -> tuple[Problem, ...]            every mistake of one file in its book
        all_problems(name, planned=True) -> tuple[Problem, ...]   the same for every file the book brings in with it
        compile(name, request=Request()) -> Compiled     memoised on the texts that matter
        book(name) -> Book                               names in scope of a file
        people(name=BOOK) -> (wearers, houses)           names that a request may hold
        texts(name) -> tuple[(name, text), ...]          the same as long as nothing that matters changes
        steps(name, request) -> Iterator[None]           plans a file's looks a bit at a time
    session_for(path: Path) -> tuple[Session, str]       the book a file lies in, and its name there
completing.py
    complete(session, name, line, column, request=Request()) -> tuple[Offer, ...]
        Offer(label, insert, what, detail, span)
hovering.py
    hover(session, name, line, column, request=Request()) -> Hover | None
        Hover(text (Markdown), span)
fixes.py
    fixes(problem, text) -> tuple[Fix, ...]
        Fix(title, edits);  edits.Edit(span, text)
edits.py
    apply(text, edits) -> str
finding.py
    definition(session, name, line, column) -> tuple[Span, ...]
    references(session, name, line, column) -> tuple[Span, ...]      the declaration first
renaming.py
    renamable(session, name, line, column) -> tuple[str, Span] | None
    rename(session, name, line, column, new) -> tuple[Edit, ...] | str   in all files of the book; a str says why not
outline.py
    symbols(text, name) -> tuple[Symbol, ...];  folding(text) -> tuple[Fold, ...];  tidied(text) -> str | None
hints.py
    hints(session, name, request=Request()) -> tuple[Hint, ...]
        Hint(line, column, text, tip)
findings.py
    findings(session, name, request=Request()) -> tuple[Found, ...]
        Found(finding, span, elsewhere)
"""
