// Signs in with a passkey, or makes one, where a form asks for it; everything else on these pages
// works without. The form names where the challenge comes from (data-ask); the device's answer goes
// into its fields, and the form is sent like any other. What it says stands in the page, in the
// language of the page (data-say).
'use strict';

const bytesOf = (text) =>
  Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (sign) => sign.charCodeAt(0));
const textOf = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer)))
    .replace(/\+/g, '-')
    .replace(/\//g, '_')
    .replace(/=+$/, '');
const known = (list) => (list ?? []).map((one) => ({ ...one, id: bytesOf(one.id) }));

async function made(options) {
  const credential = await navigator.credentials.create({
    publicKey: {
      ...options,
      challenge: bytesOf(options.challenge),
      user: { ...options.user, id: bytesOf(options.user.id) },
      excludeCredentials: known(options.excludeCredentials),
    },
  });
  const { response } = credential;
  return answerOf(credential, {
    clientDataJSON: textOf(response.clientDataJSON),
    attestationObject: textOf(response.attestationObject),
    transports: response.getTransports?.() ?? [],
  });
}

async function shown(options) {
  const credential = await navigator.credentials.get({
    publicKey: {
      ...options,
      challenge: bytesOf(options.challenge),
      allowCredentials: known(options.allowCredentials),
    },
  });
  const { response } = credential;
  return answerOf(credential, {
    clientDataJSON: textOf(response.clientDataJSON),
    authenticatorData: textOf(response.authenticatorData),
    signature: textOf(response.signature),
    ...(response.userHandle === null ? {} : { userHandle: textOf(response.userHandle) }),
  });
}

function answerOf(credential, response) {
  const id = textOf(credential.rawId);
  return { id, rawId: id, type: 'public-key', response, clientExtensionResults: {} };
}

async function useDevice(form, part) {
  const said = part.querySelector('[data-say]');
  const say = (words) => {
    said.textContent = words;
  };
  say('');
  try {
    const asked = await fetch(part.dataset.ask, {
      method: 'POST',
      body: new URLSearchParams(new FormData(form)),
      credentials: 'same-origin',
    });
    if (!asked.ok) {
      const told = await asked.json().catch(() => ({}));
      return say(told.detail ?? said.dataset.noAnswer);
    }
    const { step, options } = await asked.json();
    const answer = await (part.dataset.passkey === 'make' ? made(options) : shown(options));
    form.elements.namedItem('step').value = step;
    form.elements.namedItem('answer').value = JSON.stringify(answer);
    form.submit();
  } catch (fault) {
    const isKnown = fault instanceof DOMException && fault.name === 'InvalidStateError';
    say(isKnown ? said.dataset.known : said.dataset.noPasskey);
  }
}

for (const part of document.querySelectorAll('[data-passkey]')) {
  const named = !/^[\d.]+$|:/.test(location.hostname);
  if (!('PublicKeyCredential' in window) || !named) {
    const said = part.querySelector('[data-say]');
    said.textContent = named
      ? said.dataset.noBrowser
      : `${said.dataset.noName} ${part.dataset.home}`;
    part.hidden = false;
    part.querySelector('button').hidden = true;
    continue;
  }
  part.hidden = false;
  part.querySelector('button').addEventListener('click', () => {
    void useDevice(part.closest('form'), part);
  });
}
