import { writeFileSync } from 'node:fs';
import { describeApi, OPENAPI_FILE } from './describe-api.ts';

// Writes openapi.json anew; run it after a route or a shape has changed, and read the difference.
writeFileSync(OPENAPI_FILE, await describeApi());
