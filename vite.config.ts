import { defineConfig } from 'vite'

export default defineConfig({
  root: 'dashboard',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: { outDir: '../dist/dashboard', emptyOutDir: true, target: 'es2022' },
  server: {
    proxy: {
      '/api': 'http://127.0.0.1:8737',
      '/live': { target: 'ws://127.0.0.1:8737', ws: true },
    },
  },
})
