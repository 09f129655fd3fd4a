import { svelte } from '@sveltejs/vite-plugin-svelte'
import { svelteTesting } from '@testing-library/svelte/vite'
import { defineConfig } from 'vitest/config'

// The server answers every path with the page, so the assets' addresses are absolute.
export default defineConfig({
  plugins: [svelte(), svelteTesting()],
  base: '/',
  build: { outDir: 'dist', emptyOutDir: true, target: 'es2022', assetsInlineLimit: 0 },
  server: { proxy: { '/api': 'http://127.0.0.1:8460' } },
  test: { environment: 'jsdom', include: ['tests/unit/**/*.test.ts'] },
})
