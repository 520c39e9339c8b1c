import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

// The server puts a fresh nonce where NONCE stands. Fonts stay files: the page's policy takes them from the server alone.
export default defineConfig({
  plugins: [svelte()],
  html: { cspNonce: "NONCE" },
  build: { target: "es2022", assetsInlineLimit: 0, modulePreload: { polyfill: false } },
  server: { proxy: { "/api": process.env.WINNOW ?? "http://127.0.0.1:8420" } },
  test: { include: ["src/**/*.test.ts"] },
});
