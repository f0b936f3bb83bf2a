import { tryForms } from './form-letter.ts';

tryForms({ readers: 60, everyField: 1 });
