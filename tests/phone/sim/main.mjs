// node main.mjs FOLDER PORT SEED HISTORIES STEPS [PLANT]
// FOLDER is a copy of the phone's scripts. Prints one JSON line; a broken promise or a
// fault that never fired ends with status 1.

import { createHash, webcrypto } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

import { Broken } from "./checks.mjs";
import { makeDice } from "./dice.mjs";
import { runHistory } from "./history.mjs";
import { PLANTS } from "./plants.mjs";

globalThis.crypto ??= webcrypto; // Node 18 keeps it apart

const [folder, port, seed, histories, steps, plant] = process.argv.slice(2);
const WANTED = [1, 2, 3, 4, 5, 6, 7, 10, 11, 12, 14, 21, 22, 23, 24, 26, 29, 30];

/** Small pictures in small chunks; and the planted bug, when one is asked for. */
function prepare() {
  writeFileSync(`${folder}/package.json`, "{\"type\": \"module\"}");
  replace("outbox.js", "export const CHUNK = 256 * 1024;", "export const CHUNK = 400;");
  if (plant && PLANTS[plant]) replace(...PLANTS[plant]);
}

function replace(name, ...pairs) {
  let text = readFileSync(`${folder}/${name}`, "utf8");
  for (let place = 0; place < pairs.length; place += 2) {
    const [old, fresh] = pairs.slice(place, place + 2);
    if (text.split(old).length !== 2) throw new Error(`${name}: not once: ${old}`);
    text = text.replace(old, () => fresh);
  }
  writeFileSync(`${folder}/${name}`, text);
}

async function main() {
  prepare();
  const load = (name) => import(pathToFileURL(`${folder}/${name}`));
  const parts = await Promise.all(
    ["outbox.js", "sender.js", "wire.js", "uuid.js"].map(load),
  );
  const core = Object.assign({}, ...parts);
  const count = {};
  const fired = (number) => { count[number] = (count[number] ?? 0) + 1; };
  const trace = [];
  const done = [];
  for (let n = 0; n < Number(histories); n += 1) {
    const own = Number(seed) + n;
    const dice = makeDice(own);
    try {
      done.push(await runHistory({ core, port: Number(port), seed: own, dice, fired,
        steps: Number(steps), trace, number: n }));
    } catch (error) {
      if (!(error instanceof Broken)) throw error;
      end({ broken: error.message, seed: own, histories: n + 1, fired: count }, 1);
    }
  }
  const never = WANTED.filter((number) => !count[number]);
  const digest = createHash("sha256").update(trace.join("\n")).digest("hex");
  end({ seed: Number(seed), histories: done.length, fired: count, never, trace: digest,
    facts: done.reduce((sum, one) => sum + one.facts, 0),
    aside: done.reduce((sum, one) => sum + one.aside, 0) }, never.length ? 1 : 0);
}

function end(report, status) {
  console.log(JSON.stringify(report));
  process.exit(status);
}

main();
