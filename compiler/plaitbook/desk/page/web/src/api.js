// Questions to the desk. A refusal is thrown with the desk's own words.

export class Refused extends Error {
  constructor(message, help, status) {
    super(message);
    this.help = help;
    this.status = status;
  }
}

export const tab = Array.from(crypto.getRandomValues(new Uint8Array(12)), (n) => (n % 36).toString(36)).join("");

export async function ask(path, data, more = {}) {
  const response = await fetch(`/api/${path}`, {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(data), ...more,
  });
  if (!response.ok) throw await refusal(response);
  return response.headers.get("content-type") === "application/json" ? response.json() : response.blob();
}

export async function look(path) {
  const response = await fetch(`/api/${path}`);
  if (!response.ok) throw await refusal(response);
  return response.json();
}

async function refusal(response) {
  let said = {};
  try { said = await response.json(); } catch { /* not from the desk */ }
  return new Refused(said.refused || `${response.status}`, said.help || "", response.status);
}
