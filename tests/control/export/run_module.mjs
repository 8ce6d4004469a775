// Runs a module through a life: node run_module.mjs MODULE LIFE. Prints, per step, the variables that changed.
import { readFileSync, writeSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [, , modulePath, lifePath] = process.argv;
const { powerUp, step } = await import(pathToFileURL(modulePath));
const life = JSON.parse(readFileSync(lifePath, "utf-8"));

let before = {};
let now = null;
const lines = [];
for (const { inputs, elapsed } of life) {
  const frozen = JSON.stringify([now && now.state, inputs]);
  const next = now === null ? powerUp(inputs) : step(now.state, inputs, elapsed);
  if (frozen !== JSON.stringify([now && now.state, inputs])) {
    throw new Error("the step changed what it was handed");
  }
  now = next;
  const variables = now.outputs.variables;
  lines.push(JSON.stringify(Object.fromEntries(Object.entries(variables).filter(([name, value]) => before[name] !== value))));
  before = variables;
}
writeSync(1, lines.join("\n") + "\n");
