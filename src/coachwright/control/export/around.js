// What stands around the step, the same for every build: names of the build in, names of the build out.
//
//   let now = powerUp({ stands: { slide: "full", brake: "off", speed: 0 } });
//   now = step(now.state, { stands: { slide: "full", brake: "on", speed: 0 }, lost: ["gear"], asleep: false }, 250);
//   now.outputs.heads.get("tail.left").colours
//
// A source that isn't named stands at rest. A toggle or button is "pressed" or "released", a turn wire "low", "high" or
// "flashing"; a number is a number in SI. Nothing that is handed in is changed.

const SHOWS = new Map(MEANING.shows.map((show) => [show.number, Object.freeze(show)]));
const BY_NAME = new Map(MEANING.inputs.map((input) => [input.name, input]));
const WORDS = new Map([["released", 0], ["pressed", 1], ["low", 0], ["high", 1], ["flashing", 2]]);

function placed(input, value) {
  if (input.values.length === 0) {
    if (typeof value !== "number" || !Number.isFinite(value)) {
      throw new RangeError(`${input.name} is a number, and reads ${String(value)}.`);
    }
    return value;
  }
  if (typeof value === "boolean" && input["two-way"]) {
    return value ? 1 : 0;
  }
  const place = input.values.indexOf(value);
  const isWire = input.kind === "turn-wire";
  if (isWire && (value === "low" || value === "high" || value === "flashing")) {
    return WORDS.get(value);
  }
  if (isWire && place >= 0) {
    return place === 0 ? 0 : 2;
  }
  if (place >= 0) {
    return place;
  }
  if ((input.kind === "toggle" || input.kind === "button") && (value === "pressed" || value === "released")) {
    return WORDS.get(value);
  }
  throw new RangeError(`${input.name} is never ${String(value)}. It has ${input.values.join(", ")}.`);
}

function atRest(input) {
  if (input.kind === "toggle" || input.values.length !== 0 && !input.values.includes(input.rest)) {
    return 0;
  }
  return placed(input, input.values.length === 0 && typeof input.rest !== "number" ? 0 : input.rest);
}

function given(inputs, elapsedMs) {
  if (!Number.isInteger(elapsedMs) || elapsedMs < 0 || elapsedMs > 2147483647) {
    throw new RangeError(`${String(elapsedMs)} ms: time is whole milliseconds, and doesn't run backward.`);
  }
  const { stands = {}, lost = [], asleep = false } = inputs;
  for (const name of [...Object.keys(stands), ...lost]) {
    if (!BY_NAME.has(name)) {
      throw new RangeError(`No control or signal is named ${name}.`);
    }
  }
  const found = { ...INPUTS, elapsed_ms: elapsedMs, asleep: asleep === true };
  for (const input of MEANING.inputs) {
    if ("in" in input) {
      const value = Object.hasOwn(stands, input.name) ? placed(input, stands[input.name]) : atRest(input);
      found[input.in] = input["two-way"] ? value === 1 : value;
      found[input.silent] = lost.includes(input.name);
    }
  }
  return found;
}

function namesOf(list, out, key, name) {
  return list.filter((each) => out[each[key]]).map((each) => each[name]);
}

function headOf(head, out) {
  const colours = head.colours
    .filter((each) => out[each.at] !== 0)
    .map((each) => ({ colour: each.colour, share: out[each.share], show: SHOWS.get(out[each.at]) }));
  return { owners: namesOf(head.owners, out, "at", "function"), undecided: out[head.undecided], colours };
}

function sirenOf(siren, out) {
  const tone = out[siren.at] === 0 ? "" : siren.tones[out[siren.at] - 1];
  return { tone, owners: namesOf(siren.owners, out, "at", "function"), undecided: out[siren.undecided] };
}

function result(out) {
  const state = {};
  for (const name of [...Object.keys(KEPT), ...Object.keys(RETAINED)]) {
    state[name] = out[name];
  }
  const outputs = {
    heads: new Map(MEANING.heads.map((head) => [head.name, headOf(head, out)])),
    sirens: new Map(MEANING.sirens.map((siren) => [siren.name, sirenOf(siren, out)])),
    runs: namesOf(MEANING.runs, out, "at", "name"),
    interrupts: namesOf(MEANING.interrupts, out, "at", "name"),
    active: namesOf(MEANING.functions, out, "acts", "name"),
    messages: namesOf(MEANING.messages, out, "at", "name"),
    tellTales: new Map(MEANING["tell-tales"].map((each) => [each.control, each.values[out[each.at]]])),
    memory: new Map(MEANING.memories.map((each) => [each.name, each.values[out[each.at]]])),
    variables: Object.freeze({ ...out }),
  };
  return { state: Object.freeze(state), outputs };
}

/** What the build is and what it is made of: names, values, ranks, and what the numbers mean. */
export function describe() {
  return { build: BUILD, meaning: structuredClone(MEANING) };
}

/** Begin. `kept` names what toggles and pick-ones kept, where that isn't what they start with. */
export function powerUp(inputs = {}, kept = {}) {
  const before = { ...KEPT, ...RETAINED };
  for (const [name, value] of Object.entries(kept)) {
    const input = BY_NAME.get(name);
    if (input === undefined || !input.keeps || !input.values.includes(value)) {
      throw new RangeError(`${name} doesn't keep ${String(value)}.`);
    }
    before[input.keeps] = input.values.indexOf(value);
  }
  return result(run(before, given(inputs, 0)));
}

/** Let `elapsedMs` pass under the inputs of the step before, then read the new ones. */
export function step(state, inputs, elapsedMs) {
  return result(run(state, given(inputs, elapsedMs)));
}
