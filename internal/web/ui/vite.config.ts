import { svelte } from '@sveltejs/vite-plugin-svelte'
import { svelteTesting } from '@testing-library/svelte/vite'
import type { Plugin } from 'vite'
import { defineConfig } from 'vitest/config'

/** What is not ASCII is escaped: a browser keeps such a text at one byte a character, and reads it faster. */
const ascii: Plugin = {
  name: 'ascii',
  generateBundle(_, bundle) {
    for (const c of Object.values(bundle)) {
      if (c.type !== 'chunk') continue
      if (/String\.raw/.test(c.code)) this.error('String.raw would show the escapes')
      c.code = c.code.replace(/[^\0-\x7f]/g, (half) => `\\u${half.charCodeAt(0).toString(16).padStart(4, '0')}`)
    }
  },
}

// The server answers every path with the page, so the assets' addresses are absolute.
export default defineConfig({
  plugins: [svelte(), svelteTesting(), ascii],
  base: '/',
  build: { outDir: 'dist', emptyOutDir: true, target: 'es2022', assetsInlineLimit: 0, cssCodeSplit: false },
  server: { proxy: { '/api': { target: 'http://127.0.0.1:8460', ws: true } } },
  test: { environment: 'jsdom', include: ['tests/unit/**/*.test.ts'] },
})
