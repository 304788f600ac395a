// Asking the desk: every change carries the token, and every refusal comes back as a sentence.
const token = document.documentElement.dataset.token;

export class Refused extends Error {
  constructor(message, status, told = {}) {
    super(message);
    this.status = status;
    this.told = told;
  }
}

async function answered(response) {
  const text = await response.text();
  let told = {};
  try { told = JSON.parse(text); } catch { told = { error: text.trim() }; }
  if (!response.ok) throw new Refused(told.error || String(response.status), response.status, told);
  return told;
}

export async function get(address) {
  return answered(await fetch(address, { headers: { accept: "application/json" } }));
}

export async function post(address, told) {
  return answered(await fetch(address, {
    method: "POST",
    headers: { "content-type": "application/json", "x-desk-token": token },
    body: JSON.stringify(told),
  }));
}

export async function send(address, file) {
  return answered(await fetch(address, { method: "POST", headers: { "x-desk-token": token }, body: file }));
}

// Only the latest question matters: while one is under way the next one waits, and those between are never asked.
export class Latest {
  constructor(address, got, refused) {
    this.address = address;
    this.got = got;
    this.refused = refused;
    this.waiting = null;
    this.busy = false;
    this.number = 0;
  }

  ask(told) {
    this.waiting = told;
    if (!this.busy) this.next();
  }

  drop() {
    this.waiting = null;
    this.number += 1;
  }

  async next() {
    this.busy = true;
    while (this.waiting) {
      const told = this.waiting, number = this.number;
      this.waiting = null;
      try {
        const answer = await post(this.address, told);
        if (number === this.number) this.got(answer, told);
      } catch (error) {
        if (number === this.number) this.refused(error);
      }
    }
    this.busy = false;
  }
}
