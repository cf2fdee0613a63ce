"""Every command, the module that runs it, and its line of help.

The command line imports only the module of the command that was asked for:
importing them all costs more than a whole ``plait check`` should take.
"""

from __future__ import annotations

COMMANDS: tuple[tuple[str, str, str], ...] = (
    ("card", "command", "make a prep card"),
    ("plan", "command", "print the plan as data"),
    ("check", "command", "read files and say what is wrong"),
    ("explain", "explaining", "show where a figure comes from, or why a rule speaks"),
    ("why", "why", "print a rule's page: what it looks for, why, what to do, its source"),
    ("new", "command", "start a book: a folder with demo looks that compile at once"),
    ("open", "page.opening", "open the book as a page in the browser: write, see the card, print"),
    ("tidy", "tidying", "lay recipes out in one way; never changes what they say"),
    ("print", "printing", "print another document of the same plan, or a whole book"),
    ("station", "stationing", "make the page for the tablet or phone at the chair"),
    ("picture", "stationing", "draw the finished look"),
    ("quote", "quoting", "the price, for the client or for the house"),
    ("replan", "replanning", "in the middle of a service: a new clock from what has happened"),
    ("fit", "fitting", "what to change so that a look fits a time, a budget or some packs"),
    ("calendar", "calendar_file", "the booking as a calendar file: preparation, chair, breaks"),
    ("log", "logbook", "keep what really happened: minutes, packs, notes"),
    ("learn", "logbook", "fit the house's rates to what was logged"),
    ("day", "planning_day", "many bookings together: what to buy, cut and prepare, and who stands where when"),
    ("stock", "stocking", "what hair is on the shelf; receive, use or count some"),
    ("survey", "surveying", "every look of a book for every wearer, one row of figures each"),
    ("seal", "sealing", "write down what a look is made of, so that any change to it is seen"),
    ("compare", "comparing", "what differs between two looks, two plans, or one look across all wearers"),
    ("expect", "expecting", "run what the recipes expect of themselves, like tests"),
    ("parcel", "parcelling", "one file of a look and all it needs, without any client, to give away"),
    ("unpack", "unpacking", "bring a parcel into a book, after showing what is in it"),
    ("book", "site_making", "the book as a folder of web pages that work without a server"),
    ("editor", "editor", "let a text editor ask: mistakes, completion, hover, rename (language server)"),
    ("watch", "watching", "compile again at every save, and say what changed"),
    ("completion", "shell_completion", "print a script that completes plait in bash, zsh, fish or PowerShell"),
    ("schema", "command", "print the JSON schema of a plan"),
)
"""(command, module of this package, help), in the order of ``plait --help``."""

HELP = {name: help for name, _, help in COMMANDS}
