import type { Sender } from './sender.ts';
import { smtpSender } from './smtp-sender.ts';
import { traySender } from './tray.ts';
