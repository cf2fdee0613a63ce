// Starts `plait editor` and lets it answer. Everything else is in the language server.
"use strict";

const vscode = require("vscode");
const { LanguageClient, State } = require("vscode-languageclient/node");

const SECTION = "plaitbook";
let client;

function makeClient() {
  const [command, ...args] = vscode.workspace.getConfiguration(SECTION).get("command");
  return new LanguageClient(SECTION, "Plaitbook", { command, args }, {
    documentSelector: [{ language: "plait" }],
    initializationOptions: settings(),
    synchronize: {
      configurationSection: SECTION,
      fileEvents: vscode.workspace.createFileSystemWatcher("**/*.plait"),
    },
  });
}

function settings() {
  const { wearer, house, choices } = vscode.workspace.getConfiguration(SECTION);
  return { wearer, house, choices };
}

async function start() {
  client = makeClient();
  try {
    await client.start();
  } catch (error) {
    vscode.window.showErrorMessage(
      `Plaitbook's language server doesn't start: ${error.message}. ` +
        'Install it with "pip install plaitbook", or name it in the setting plaitbook.command.');
  }
}

async function restart() {
  if (client && client.state === State.Running) {
    await client.stop();
  }
  await start();
}

// Offers the names of the book that the open file lies in, and keeps the one that is chosen.
async function choose(setting, list) {
  const editor = vscode.window.activeTextEditor;
  if (!editor || !client || client.state !== State.Running) {
    return;
  }
  const people = await client.sendRequest("plaitbook/people", { uri: editor.document.uri.toString() });
  const nobody = setting === "wearer" ? "anybody" : "the first of the book";
  const chosen = await vscode.window.showQuickPick([nobody, ...people[list]], { placeHolder: `Show figures for which ${setting}?` });
  if (chosen !== undefined) {
    await vscode.workspace.getConfiguration(SECTION).update(setting, chosen === nobody ? "" : chosen);
  }
}

exports.activate = async (context) => {
  context.subscriptions.push(
    vscode.commands.registerCommand("plaitbook.chooseWearer", () => choose("wearer", "wearers")),
    vscode.commands.registerCommand("plaitbook.chooseHouse", () => choose("house", "houses")),
    vscode.commands.registerCommand("plaitbook.restart", restart),
    vscode.workspace.onDidChangeConfiguration((event) => {
      if (event.affectsConfiguration("plaitbook.command")) {
        return restart();
      }
    }),
  );
  await start();
};

exports.deactivate = () => client && client.stop();
