import type { FastifyRequest } from 'fastify';
import { type Voice, voiceAsked, voiceFor } from '../../../views/words/voice.ts';

const languages = new WeakMap<FastifyRequest, string>();

/** Notes in which language whoever sent a request is spoken to, once they are known. */
export function speakTo(request: FastifyRequest, language: string): void {
  languages.set(request, language);
}

/** The voice for whoever sent a request: that of their organisation, else the one their browser asks for. */
export function voiceOf(request: FastifyRequest): Voice {
  const known = languages.get(request);
  return known === undefined ? voiceAsked(request.headers['accept-language']) : voiceFor(known);
}
