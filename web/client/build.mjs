// Builds the browser's side with esbuild: the scripts of every room (web/client/ROOM/page.ts becomes ROOM.js,
// page-NAME.ts beside it ROOM-NAME.js) and its style sheet (static/css/ROOM.css, which may import parts from a
// folder beside it) go to static/build, with the fonts they use. Scripts are ES modules that share chunks, so that a big library is loaded only by
// the page that needs it.
//
//   node web/client/build.mjs          build static/build
//   node web/client/build.mjs --tests  bundle web/client/**/*.test.ts into tmp/client-tests
import { readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";

/** Files below dir whose name ends with one of the endings. */
function filesIn(dir, ...endings) {
  return readdirSync(dir, { recursive: true })
    .map((name) => join(dir, name))
    .filter((name) => !name.includes("node_modules") && endings.some((e) => name.endsWith(e)))
    .sort();
}

/** The scripts of every room: one for each kind of page it has. */
function scripts() {
  return readdirSync("web/client", { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .flatMap(({ name: room }) =>
      readdirSync(join("web/client", room))
        .filter((name) => /^page(-.+)?\.ts$/.test(name))
        .map((name) => ({ in: join("web/client", room, name), out: name.replace("page", room).replace(/\.ts$/, "") })),
    );
}

/** The style sheet of every room; folders beside them hold their parts. */
function styles() {
  return readdirSync("static/css")
    .filter((name) => name.endsWith(".css"))
    .map((name) => ({ in: join("static/css", name), out: name.slice(0, -".css".length) }));
}

const common = {
  bundle: true,
  logLevel: "warning",
  target: ["es2022"],
  tsconfig: "web/client/tsconfig.json",
  nodePaths: ["web/client/node_modules"],
};

if (process.argv.includes("--tests")) {
  rmSync("tmp/client-tests", { recursive: true, force: true });
  await build({
    ...common,
    entryPoints: filesIn("web/client", ".test.ts"),
    outdir: "tmp/client-tests",
    outExtension: { ".js": ".mjs" },
    format: "esm",
    platform: "node",
    sourcemap: "inline",
  });
} else {
  rmSync("static/build", { recursive: true, force: true });
  await build({
    ...common,
    entryPoints: [...scripts(), ...styles()],
    entryNames: "[name]",
    chunkNames: "part-[name]-[hash]",
    assetNames: "[name]-[hash]",
    outdir: "static/build",
    format: "esm",
    splitting: true,
    minify: true,
    legalComments: "eof",
    loader: { ".woff2": "file", ".svg": "file" },
    logOverride: { "empty-glob": "silent" },
  });
}
