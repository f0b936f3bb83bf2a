import { describe, expect, it } from 'vitest';
import { VISIT_KINDS } from '../../../src/domain/bench/minutes.ts';
import { ROLES } from '../../../src/domain/people/rights.ts';
import { deviceInWords } from '../../../src/http/pages/people/device-words.ts';
import { programCaller } from '../../../src/usecases/context/context.ts';
import { sendDailyMails } from '../../../src/usecases/day/daily-mail.ts';
import type { OwnerDeed } from '../../../src/usecases/day/owner-news.ts';
import { invite, inviteAgain } from '../../../src/usecases/people/invite.ts';
import { tellOfNewBrowser } from '../../../src/usecases/people/tell-new-browser.ts';
import { planRound } from '../../../src/usecases/round/plan-round.ts';
import type { DailyMailFacts } from '../../../src/views/mails/daily-mail.ts';
import { dailyMail } from '../../../src/views/mails/daily-mail.ts';
import type { StaffMail } from '../../../src/views/mails/staff-mail.ts';
import { trialMail } from '../../../src/views/mails/staff-mail.ts';
import { voiceFor } from '../../../src/views/words/voice.ts';
import { comer } from '../../people/comers.ts';
import { workshopOfScenario } from '../../setup/loaded-scenario.ts';
import { isEnglish, textsOf } from './english-texts.ts';

const DEEDS: Readonly<Record<OwnerDeed, true>> = {
  chose: true,
  moved: true,
  cancelled: true,
  accepted: true,
  declined: true,
};

/** A day, an instant, or a key of the words, as programs write them. */
const FOR_PROGRAMS =
  /\d{4}-\d{2}-\d{2}|\dT\d|\{\{|\b[a-z]+(?:[.-][a-z]+)*\.[a-z]+\b|undefined|null/;
/** Joints ("L-MAIN", "L-RIB-2"), positions of a pattern ("C3") and records with underscores. */
const CODE = /\b[LR]-[A-Z]+|\b[A-Z]\d\b|\w_\w/;
/** What records hold, where German has words of its own; in English they are words of the trade. */
const ENUM_WORD = new RegExp(
  `\\b(?:${[...VISIT_KINDS, ...Object.keys(DEEDS), ...ROLES].join('|')})\\b`,
);

/** What of a mail no person would write; what stands in it as somebody wrote it is given as `written`. */
function wrongIn({ subject, text, html }: StaffMail, language: string, written: readonly string[]) {
  const lines = [subject, ...text.split('\n'), ...textsOf(html)].map((line) =>
    written.reduce(
      (left, own) => left.replaceAll(own, ' '),
      line.replaceAll(/https?:\/\/\S+/g, ' '),
    ),
  );
  const wrong = lines.filter(
    (line) =>
      FOR_PROGRAMS.test(line) ||
      CODE.test(line) ||
      (language === 'de' && (ENUM_WORD.test(line) || isEnglish(line))),
  );
  return [...new Set(wrong)];
}

/** A day on which everything happened that the mail of the day can tell of. */
function fullDay(many: number): DailyMailFacts {
  const registration = 'DEMO 1';
  const deeds = Object.keys(DEEDS);
  return {
    organisation: 'Elmyard',
    timeZone: 'Europe/Berlin',
    now: '2026-11-30T06:00:00.000Z',
    today: '2026-11-30',
    staying: [{ registration }],
    bench: ['2026-11-30', '2026-12-01'].map((on) => ({
      on,
      visits: VISIT_KINDS.flatMap((kind) =>
        ['08:30', null].map((dropOff) => ({ dropOff, registration, kind })),
      ),
    })),
    news: deeds.flatMap((deed) =>
      (deed === 'cancelled' ? ['2026-12-07', null] : ['2026-12-07']).flatMap((on) =>
        // Of this week, and of an earlier one.
        ['2026-11-29T15:12:00.000Z', '2026-11-02T15:12:00.000Z'].map((at) => ({
          deed,
          registration,
          ownerName: 'Ada Beispiel',
          on,
          at,
        })),
      ),
    ),
    faults: many,
    folded: many,
    calls: many,
    order: many,
    page: 'https://care.example.org/today',
    settings: 'https://care.example.org/settings',
  };
}

const AGENTS = [
  'Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 Chrome/140.0 Safari/537.36',
  'Mozilla/5.0 (iPhone; CPU iPhone OS 19_0 like Mac OS X) Version/19.0 Safari/604.1',
  '',
];

describe.each(['en', 'de'])('mail to the house in %s', (language) => {
  it('of a day with everything says nothing as programs do', () => {
    const mails = [1, 3].map((many) => dailyMail(fullDay(many), voiceFor(language)));
    expect(mails.flatMap((mail) => wrongIn(mail, language, ['DEMO 1', 'Ada Beispiel']))).toEqual(
      [],
    );
    expect(mails[0]?.text.split('\n').length).toBeGreaterThan(30);
  });

  it('of the demo’s morning and to those who sign in says nothing as programs do', async () => {
    const house = await workshopOfScenario('2026-07-15T12:00:00.000Z');
    const { context } = house;
    const { email } = await comer(house, 'manager');
    await context.store.writeSql((sql) =>
      sql.run(
        `UPDATE "organisation" SET "language" = '${language}', "email" = 'desk@example.org', "dailyMail" = true`,
        [],
      ),
    );
    const out: StaffMail[] = [];
    const post = async (mail: StaffMail) => {
      out.push(mail);
      return true;
    };
    await planRound(context);
    house.setNow('2026-07-16T05:30:00.000Z');
    const { sent } = await sendDailyMails(context, post);

    const [person] = await context.store.sql.all<{
      id: string;
      organisationId: string;
      name: string;
    }>('SELECT "id", "organisationId", "name" FROM "person" WHERE "email" = ?', [email]);
    if (person === undefined) throw new Error('nobody came');
    const { id, organisationId, name } = person;
    const caller = programCaller(organisationId, 'test');
    await invite(
      context,
      caller,
      { name: 'Bo Beispiel', email: 'bo@example.org', role: 'fitter' },
      post,
    );
    await inviteAgain(context, caller, id, post);
    for (const agent of AGENTS) {
      const of = { name, email, organisationId, language: null };
      const deviceIn = (tongue: string) => deviceInWords(agent, voiceFor(tongue));
      const at = context.now();
      await tellOfNewBrowser(context, of, { network: '192.0.2.0/24' }, { at, deviceIn, post });
    }
    out.push(trialMail(language, 'Elmyard Soft Tops'));
    const own = await context.store.sql.all<{ name: string }>(
      'SELECT "registration" AS "name" FROM "car" UNION SELECT "name" FROM "owner" UNION SELECT "name" FROM "organisation"',
      [],
    );
    await house.close();
    const written = [...own.map((one) => one.name), name, 'Bo Beispiel', '192.0.2.0/24'].filter(
      Boolean,
    );
    written.sort((a, b) => b.length - a.length);
    expect(out.flatMap((mail) => wrongIn(mail, language, written))).toEqual([]);
    expect(sent).toBeGreaterThan(0);
    expect(out).toHaveLength(sent + 2 + AGENTS.length + 1);
  });

  it.each(['on 2026-11-30', 'left joint L-MAIN', 'at C3', 'visit-kind.look', 'by part_order'])(
    'would show “%s” in a mail',
    (fault) => {
      const html = `<p>${fault}</p>`;
      expect(wrongIn({ subject: '', text: fault, html }, language, [])).toEqual([fault]);
    },
  );
});

it('would show English and words of the records in a German mail', () => {
  const html = '<p>Bis Montag</p><p>08:30: settling</p>';
  const mail = { subject: 'Öl ist fällig', text: 'your visit is booked', html };
  expect(wrongIn(mail, 'de', [])).toEqual(['your visit is booked', '08:30: settling']);
});
