// To the workshop: cut list with notes, boards to buy, drawings, price, weight.

import { sizeOf, type Head } from "../answer.ts";
import { el, plainTable, section } from "../dom.ts";
import { fixed, percent } from "../numbers.ts";
import type { Check, PartToSaw, Workshop } from "../results.ts";

/** A drawing as the verb makes it. */
export interface Drawing { name: string; svg: string }

const size = (mm: number): string => fixed(mm, Math.abs(mm - Math.round(mm)) < 0.05 ? 0 : 1);
const sizes = (part: PartToSaw): string => `${size(part.length_mm)} × ${size(part.width_mm)} × ${size(part.thickness_mm)}`;
const price = (result: Workshop): number | null =>
  result.boards.length > 0 && result.without_board_for_sale.length + result.larger_than_boards_for_sale.length === 0 && result.boards.every((board) => board.price !== null) ? result.boards.reduce((sum, board) => sum + board.price!, 0) : null;

export function headOfWorkshop(result: Workshop, check: Check): Head {
  const whole = price(result), boards = result.boards.length;
  return {
    title: result.cabinet, size: sizeOf(check.cabinet),
    plainly: "What to buy, how to saw it, and what it weighs. Sizes are those of the drawing: measure the board you bought, its thickness first.",
    answer: `${result.parts.length} parts${boards > 0 ? `, sawn from ${boards === 1 ? "one board" : `${boards} boards`} with ${percent(result.waste_share)} waste` : ""}; the whole weighs ${fixed(result.mass_kg, 2)} kg and holds ${fixed(result.net_volume_l, 1)} litres net.`,
    figures: [{ value: String(result.parts.length), what: "parts" },
      ...(whole !== null ? [{ value: fixed(whole, 2), what: "price of the boards to buy" }] : result.price_by_area !== null ? [{ value: fixed(result.price_by_area, 2), what: "price of the boards by area" }] : []),
      ...(result.balance.tipping_angle_deg > 0 ? [{ value: `${fixed(result.balance.tipping_angle_deg, 0)}°`, what: `tilt at which it falls to the ${result.balance.falls_towards}` }] : [])],
  };
}

function partWords(part: PartToSaw): string {
  return [...part.notes, ...(part.grain_along_length ? ["grain along its length"] : []), ...(part.is_rectangle ? [] : ["no rectangle: saw by the drawing"]),
    ...(part.cutouts > 0 ? [`${part.cutouts} cut-out${part.cutouts > 1 ? "s" : ""}`] : []),
    ...part.slots.map((slot) => `slot ${size(slot.width_mm)} × ${size(slot.length_mm)} for ${slot.for}${slot.right_through ? ", right through" : ""}`),
    ...part.bevels.map((bevel) => `${bevel.at} bevelled ${fixed(Math.abs(bevel.tilt_deg), 1)}°`)].join("; ");
}

/** Pictures made of the verb's own drawings: as an image nothing in them runs or is fetched. */
function picture(drawing: Drawing): HTMLElement {
  return el("figure", {}, el("img", { src: `data:image/svg+xml;charset=utf-8,${encodeURIComponent(drawing.svg)}`, alt: `Drawing: ${drawing.name}`, loading: "eager" }),
    el("figcaption", {}, drawing.name));
}

function balanceWords(balance: Workshop["balance"]): string {
  if (balance.tipping_angle_deg <= 0) return "it does not stand: the centre lies outside what it stands on.";
  return `it falls to the ${balance.falls_towards} at a tilt of ${fixed(balance.tipping_angle_deg, 0)}° (on its ${balance.on_feet ? "feet" : "whole bottom"}).` +
    (balance.tipping_angle_deg < 10 ? " Under 10° it is to be fixed to the wall or given a wider base." : "");
}

export function sectionsOfWorkshop(result: Workshop, drawings: Drawing[]): HTMLElement[] {
  const whole = price(result);
  return [
    section("cut-list", "Cut list", plainTable(["Part", "Length × width × thickness mm", "Material", "kg", "Mind"], result.parts.map((part) =>
      [part.name, sizes(part), part.material, fixed(part.mass_kg, 2), partWords(part) || "–"])),
    el("p", { class: "note" }, "Sawing: extraction and a dust mask (wood dust; MDF also formaldehyde), guard on the blade, unplug before changing it.")),
    ...(result.boards.length > 0 ? [section("buying", "Boards to buy", plainTable(["Board", "Length × width mm", "Material", "Parts on it", "Saw cuts", "Used", "Price"], result.boards.map((board, k) =>
      [String(k + 1), `${size(board.length_mm)} × ${size(board.width_mm)}`, board.material, (board.parts ?? []).map((part) => part.name).join(", "), String(board.cuts), percent(board.used_share), board.price === null ? "–" : fixed(board.price, 2)])),
    el("p", {}, [whole === null ? "" : `Together ${fixed(whole, 2)}.`, result.price_by_area === null ? "" : `By the area of the parts alone: ${fixed(result.price_by_area, 2)}.`, `Kerf ${size(result.kerf_mm)} mm, edges trimmed by ${size(result.trim_mm)} mm.`].filter(Boolean).join(" ")))] : []),
    ...(result.without_board_for_sale.length + result.larger_than_boards_for_sale.length > 0 ? [section("unbought", "Not among the boards for sale", el("ul", {},
      result.without_board_for_sale.length > 0 && el("li", {}, `No board listed for: ${result.without_board_for_sale.join(", ")}`),
      result.larger_than_boards_for_sale.length > 0 && el("li", {}, `Larger than every board listed: ${result.larger_than_boards_for_sale.join(", ")}`)))] : []),
    section("drawings", "Drawings", el("div", { class: "sheets" }, ...drawings.map(picture))),
    section("weight", "Litres and balance", plainTable(["Volume", "Kind", "Litres"], result.volumes.map((line) => [line.name, line.kind, fixed(line.litres, 2)])),
      el("p", {}, `Centre of mass ${fixed(result.balance.centre_x_mm, 0)} mm from the left, ${fixed(result.balance.centre_y_mm, 0)} mm from the front, ${fixed(result.balance.centre_z_mm, 0)} mm up; ${balanceWords(result.balance)}`)),
  ];
}
