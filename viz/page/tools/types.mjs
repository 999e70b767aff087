// Writes src/results.ts, the page's types, from the schemas of the results: one description for the writer's test and
// for the page. Knows the few words of JSON Schema that the schemas use and stops at any other.
import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const known = new Set([
  "$schema", "$id", "title", "description", "type", "properties", "required", "additionalProperties", "items",
  "minItems", "maxItems", "enum", "const", "anyOf", "$ref", "$defs", "minimum", "maximum",
]);

const named = (name) => name[0].toUpperCase() + name.slice(1);

export function typeOf(schema) {
  for (const word of Object.keys(schema)) if (!known.has(word)) throw new Error(`unknown word in a schema: ${word}`);
  if (schema.$ref) return named(schema.$ref.replace(/^(.*\/)?([\w-]+?)(\.schema\.json)?$/, "$2"));
  if (schema.enum) return schema.enum.map((value) => JSON.stringify(value)).join(" | ");
  if ("const" in schema) return JSON.stringify(schema.const);
  if (schema.anyOf) return schema.anyOf.map(typeOf).join(" | ");
  if (Array.isArray(schema.type)) return schema.type.map((type) => typeOf({ ...schema, type })).join(" | ");
  switch (schema.type) {
    case "object": return objectOf(schema);
    case "array": return `Array<${typeOf(schema.items)}>`;
    case "integer": return "number";
    case "number": case "string": case "boolean": case "null": return schema.type;
    default: throw new Error(`a schema without a type: ${JSON.stringify(schema).slice(0, 80)}`);
  }
}

function objectOf(schema) {
  // Keys that the file names: what may be chosen, for instance.
  if (typeof schema.additionalProperties === "object") return `{ [key: string]: ${typeOf(schema.additionalProperties)} }`;
  const required = new Set(schema.required ?? []);
  const members = Object.entries(schema.properties ?? {}).map(
    ([key, value]) => `${JSON.stringify(key)}${required.has(key) ? "" : "?"}: ${typeOf(value)};`);
  return `{ ${members.join(" ")} }`;
}

export function typesOf(folder) {
  let text = "// Made from the schemas by tools/types.mjs; not kept.\n";
  for (const file of readdirSync(folder).filter((name) => name.endsWith(".schema.json")).sort()) {
    const schema = JSON.parse(readFileSync(join(folder, file), "utf8"));
    for (const [name, part] of Object.entries(schema.$defs ?? {})) text += `export type ${named(name)} = ${typeOf(part)};\n`;
    if (schema.type) text += `export type ${named(file.replace(".schema.json", ""))} = ${typeOf(schema)};\n`;
  }
  return text;
}

if (process.argv[1]?.endsWith("types.mjs")) writeFileSync("src/results.ts", typesOf("schema"));
