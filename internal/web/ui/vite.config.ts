import { svelte } from '@sveltejs/vite-plugin-svelte'
import { svelteTesting } from '@testing-library/svelte/vite'
import type { Plugin } from 'vite'
import { defineConfig } from 'vitest/config'

/** The step that a study opens on is fetched beside the entry, and not only when that has run. */
const opening: Plugin = {
  name: 'opening-step',
  transformIndexHtml: {
    order: 'post',
    handler(html, { bundle }) {
      const first = Object.values(bundle ?? {}).find((c) => c.type === 'chunk' && c.isDynamicEntry && c.facadeModuleId?.endsWith('/loadings/Loadings.svelte'))
      if (first?.type !== 'chunk') return html
      const chunks = [first.fileName, ...first.imports].filter((file) => !html.includes(file))
      return chunks.map((file) => ({ tag: 'link', injectTo: 'head', attrs: { rel: 'modulepreload', crossorigin: true, href: `/${file}` } }))
    },
  },
}

// The server answers every path with the page, so the assets' addresses are absolute.
export default defineConfig({
  plugins: [svelte(), svelteTesting(), opening],
  base: '/',
  build: { outDir: 'dist', emptyOutDir: true, target: 'es2022', assetsInlineLimit: 0, cssCodeSplit: false },
  server: { proxy: { '/api': { target: 'http://127.0.0.1:8460', ws: true } } },
  test: { environment: 'jsdom', include: ['tests/unit/**/*.test.ts'] },
})
