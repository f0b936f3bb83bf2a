import { defineConfig } from 'prisma/config';

// `prisma generate` asks for a native engine that it never runs; without this it tries to download one.
process.env['PRISMA_SCHEMA_ENGINE_BINARY'] ??= process.execPath;

export default defineConfig({
  schema: process.env['FOLDKEEP_SCHEMA'] ?? 'prisma/build/sqlite.prisma',
});
