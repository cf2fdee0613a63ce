"""``plait open``: the book as a page in the browser, for whoever never opens a terminal.

A Starlette application on the machine's own loopback address. The browser's
side is plain JavaScript around one editor component; its sources lie in
``web/`` and what is served in ``built/``.

=================  ==========================================================
``opening``        the command: find the book, find a port, run the server
``app``            the routes, and what each may be asked by whom
``guard``          who may speak to the server at all, and how large a request may be
``doorkeeper``     the key of this run, the pairing code, who holds which cookie
``places``         names of files in the book; nothing outside it has one
``files``          reading and saving, each with its version, so that nobody overwrites anybody
``drafts``         what was typed and not saved yet, on disk within a second
``history``        every version that was saved
``bench``          the one thread in which recipes are compiled
``showing``        a compiled look as the page's parts, totals and remarks
``sliders``        the numbers of a recipe, and the steps each can take
``asking``         from a number on the card to the figure behind it
``starting``       a first book, a new look, a new wearer
``papers``         PDF, print and the station card
=================  ==========================================================
"""
