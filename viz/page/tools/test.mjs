// Bundles every src/**/*.test.ts and runs them with node's own test runner: node 18 reads no TypeScript.
import { build } from "esbuild";
import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { typesOf } from "./types.mjs";

const filesIn = (folder) => readdirSync(folder).flatMap((name) => {
  const path = join(folder, name);
  return statSync(path).isDirectory() ? filesIn(path) : [path];
});
const tests = filesIn("src").filter((path) => path.endsWith(".test.ts"));
if (tests.length === 0) throw new Error("no tests found");
writeFileSync("src/results.ts", typesOf("schema"));
const out = mkdtempSync(join(tmpdir(), "page-tests-"));
await build({
  entryPoints: tests, bundle: true, platform: "node", format: "esm", outdir: out, outExtension: { ".js": ".mjs" },
});
const built = filesIn(out).filter((path) => path.endsWith(".mjs"));
const done = spawnSync(process.execPath, ["--test", ...built], { stdio: "inherit" });
rmSync(out, { recursive: true });
process.exit(done.status ?? 1);
