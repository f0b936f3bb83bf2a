import type { BookModel } from './book-sheet.ts';
import type { BookedModel } from './booked-sheet.ts';
import type { BookingModel } from './booking-sheet.ts';
import type { CarModel } from './car-sheet.ts';
import type { CardModel } from './card-sheet.ts';
import type { FindModel } from './find-sheet.ts';
import type { FrontModel } from './front-sheet.ts';
import type { NewCarModel, RecoverModel } from './new-car-sheet.ts';
import type { OffersPlanModel } from './offers-plan-sheet.ts';
import type { OwnerDeskModel, OwnerLinkModel } from './owner-desk-sheet.ts';
import type { OwnerModel } from './owner-sheet.ts';
import type { ProblemModel } from './problem-sheet.ts';
import type { ReferenceModel } from './reference-sheet.ts';
import type { SignInModel } from './sign-in-sheet.ts';
import type { StopModel } from './stop-sheet.ts';
import type { TodayModel } from './today-sheet.ts';
import type { TopModel } from './top-sheet.ts';
import type { TopsModel } from './tops-sheet.ts';
import type { TrayLetterModel, TrayModel } from './tray-sheet.ts';
import type { VisitFormModel } from './visit-form-sheet.ts';

/** What each page must be told; a template can ask for nothing else. */
export interface PageModels {
  readonly problem: ProblemModel;
  readonly stop: StopModel;
  readonly book: BookModel;
  readonly owner: OwnerModel;
  readonly card: CardModel;
  readonly front: FrontModel;
  readonly reference: ReferenceModel;
  readonly 'sign-in': SignInModel;
  readonly find: FindModel;
  readonly today: TodayModel;
  readonly tops: TopsModel;
  readonly top: TopModel;
  readonly car: CarModel;
  readonly 'new-car': NewCarModel;
  readonly recover: RecoverModel;
  readonly 'owner-desk': OwnerDeskModel;
  readonly 'owner-link': OwnerLinkModel;
  readonly 'offers-plan': OffersPlanModel;
  readonly booked: BookedModel;
  readonly booking: BookingModel;
  readonly 'visit-form': VisitFormModel;
  readonly tray: TrayModel;
  readonly 'tray-letter': TrayLetterModel;
}
