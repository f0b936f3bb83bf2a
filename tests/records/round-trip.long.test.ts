import { onPostgresql } from '../setup/databases.ts';
import { tryRoundTrip } from './round-trip.ts';

onPostgresql('an export', tryRoundTrip);
