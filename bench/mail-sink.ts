import { startSink } from '../tests/delivery/sink.ts';

// A process of its own, so that the mail server's work is not counted as the sender's.
const sink = await startSink();
process.send?.(sink.url);
