import { bothDatabases } from '../setup/databases.ts';
import { tryRoundTrip } from './round-trip.ts';

bothDatabases('an export', (databases) => tryRoundTrip(databases, true));
