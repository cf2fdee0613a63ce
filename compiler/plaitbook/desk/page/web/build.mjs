// npm ci && npm run build: one script and one style sheet into ../built, with the mark of what they were made from.
import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { build } from "esbuild";

const files = ["package.json", "package-lock.json", "build.mjs", ...readdirSync("src").sort().map((name) => `src/${name}`)];
const mark = createHash("sha256");
for (const name of files) mark.update(name + "\n" + readFileSync(name, "utf8").replaceAll("\r\n", "\n"));
const banner = `/* made from web/ by npm run build; sources ${mark.digest("hex").slice(0, 32)} */`;

await build({
  entryPoints: ["src/page.js", "src/page.css"], outdir: "../built", bundle: true, minify: true, format: "esm",
  target: ["es2022", "safari16"], charset: "utf8", legalComments: "none", banner: { js: banner, css: banner },
});

const packages = JSON.parse(readFileSync("package-lock.json", "utf8")).packages;
const bundled = Object.entries(packages).filter(([path, its]) => path && !its.dev && !its.optional);
const licences = bundled.map(([path]) => {
  const name = path.replace("node_modules/", "");
  return `${name} ${packages[path].version}\n\n${readFileSync(`${path}/LICENSE`, "utf8").trim()}\n`;
});
writeFileSync("../built/LICENCES.txt", licences.join("\n----\n\n"));
