// Listen: the direct sound alone and with the walls, one after another.

import { el, section } from "../dom.ts";
import { fixed } from "../numbers.ts";
import type { Sound } from "../results.ts";
import { heard, rate, type Source } from "./made.ts";

export function listenSection(sound: Sound): HTMLElement | null {
  const place = sound.listeners[0];
  if (!place || typeof AudioContext === "undefined") return null;
  const responses = { frequency: sound.frequency_hz, direct: place.direct_pa_rms, total: place.total_pa_rms };
  const source = el("select", { id: "listen-source" }, el("option", { value: "noise" }, "noise, half a second on, half off"),
    el("option", { value: "pulses" }, "pulses"));
  const said = el("p", { role: "status" });
  let context: AudioContext | null = null, playing: AudioBufferSourceNode | null = null;
  const stop = () => {
    playing?.stop();
    playing = null;
    said.textContent = "";
  };
  const play = (name: string, wallsBy: number | null) => () => {
    stop();
    context ??= new AudioContext();
    void context.resume();
    const samples = heard(source.value as Source, responses, wallsBy);
    const buffer = context.createBuffer(1, samples.length, rate);
    buffer.copyToChannel(samples as Float32Array<ArrayBuffer>, 0);
    playing = context.createBufferSource();
    playing.buffer = buffer;
    playing.loop = true;
    playing.connect(context.destination);
    playing.start();
    said.textContent = `Playing: ${name}`;
  };
  const button = (name: string, wallsBy: number | null) => el("button", { type: "button", onclick: play(name, wallsBy) }, name);
  const [from, to] = [sound.frequency_hz[0], sound.frequency_hz[sound.frequency_hz.length - 1]];
  return section("listen", "Listen", el("p", {}, `What stands at ${place.name}, from ${fixed(from, 0)} to ${fixed(to, 0)} Hz, all at one level. ` +
    "Headphones or good loudspeakers, turned down first: start quiet, and give ears and drivers no more than speech is loud."),
  el("div", { class: "buttons" }, el("label", { for: "listen-source" }, "Source ", source), button("direct sound alone", null), button("with the walls", 0),
    button("with the walls 10 dB louder", 10), el("button", { type: "button", onclick: stop }, "Stop")), said,
  el("p", { class: "note" }, "Made in this page from the computed responses, which are straight between their frequencies: what rings longer than some " +
    "0.2 s dies away a little too soon. It lets one hear a difference; it is no test of whether anybody would."));
}
