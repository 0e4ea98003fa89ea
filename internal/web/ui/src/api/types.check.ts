/**
 * Holds the types that the app uses against those made from the server's own
 * description: the same members, the same ones optional. It compiles or it
 * does not; there is nothing to run. `npm run api` makes schema.d.ts anew.
 */
import type { components } from './schema';
import type * as audit from './audit';
import type * as desk from './desk';
import type * as field from './field';
import type * as foray from './foray';
import type * as kept from './kept';
import type * as lists from './lists';
import type * as marks from './marks';
import type * as key from './key';
import type * as colour from './colour';
import type * as measure from './measure';
import type * as person from './person';
import type * as requests from './requests';
import type * as rulings from '../recorder/rulings.svelte';
import type * as ours from './types';

type Schemas = components['schemas'];

type OptionalKeys<T> = { [K in keyof T]-?: undefined extends T[K] ? K : never }[keyof T];
type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : false) : false;
// The description says of itself where it lies; that is no member of ours.
// What is said for other languages is written anew when an answer comes, and not looked at after that.
type Members<T> = Exclude<keyof T, '$schema' | 'said'>;
type Agrees<Theirs, Ours> = Same<Members<Theirs>, Members<Ours>> extends true
  ? Same<Exclude<OptionalKeys<Theirs>, '$schema' | 'said'>, OptionalKeys<Ours>>
  : false;

/** What must hold: `true` for each, or this file does not compile. */
export type Held = [
  True<Agrees<Schemas['HeldSite'], field.HeldSite>>,
  True<Agrees<Schemas['HeldKey'], field.HeldKey>>,
  True<Agrees<Schemas['HeldName'], field.HeldName>>,
  True<Agrees<Schemas['ShownHeads'], foray.Heads>>,
  True<Agrees<Schemas['MessageAnswer'], field.MessageAnswer>>,
  True<Agrees<Schemas['KeptPage'], kept.KeptPage>>,
  True<Agrees<Schemas['KeptPart'], kept.KeptPart>>,
  True<Agrees<Schemas['KeptRecord'], kept.KeptRecord>>,
  True<Agrees<Schemas['KeptWish'], kept.KeptWish>>,
  True<Agrees<Schemas['MentionsPage'], kept.MentionsPage>>,
  True<Agrees<Schemas['Mention'], kept.Mention>>,
  True<Agrees<Schemas['WishesPage'], kept.WishesPage>>,
  True<Agrees<Schemas['ShownWish'], kept.ShownWish>>,
  True<Agrees<Schemas['FindQuestions'], key.FindQuestions>>,
  True<Agrees<Schemas['ShownQuestion'], key.ShownQuestion>>,
  True<Agrees<Schemas['QuestionState'], key.QuestionState>>,
  True<Agrees<Schemas['ShownAnswer'], key.ShownAnswer>>,
  True<Agrees<Schemas['GivenAnswer'], key.GivenAnswer>>,
  True<Agrees<Schemas['KeySheet'], key.KeySheet>>,
  True<Agrees<Schemas['KeyCandidate'], key.KeyCandidate>>,
  True<Agrees<Schemas['KeyReason'], key.KeyReason>>,
  True<Agrees<Schemas['KeyDouble'], key.KeyDouble>>,
  True<Agrees<Schemas['KeyApart'], key.KeyApart>>,
  True<Agrees<Schemas['AuditPage'], audit.AuditPage>>,
  True<Agrees<Schemas['AuditLine'], audit.AuditLine>>,
  True<Agrees<Schemas['AuditThing'], audit.AuditThing>>,
  True<Agrees<Schemas['AuditAct'], audit.AuditAct>>,
  True<Agrees<Schemas['AuditPerson'], audit.AuditPerson>>,
  True<Agrees<Schemas['ShownSignIn'], audit.ShownSignIn>>,
  True<Agrees<Schemas['MarksPage'], marks.MarksPage>>,
  True<Agrees<Schemas['ShownMark'], marks.ShownMark>>,
  True<Agrees<Schemas['ShownMarker'], marks.ShownMarker>>,
  True<Agrees<Schemas['Reason'], marks.Reason>>,
  True<Agrees<Schemas['GivenCrop'], marks.GivenCrop>>,
  True<Agrees<Schemas['ShownWithheld'], ours.ShownWithheld>>,
  True<Agrees<Schemas['When'], ours.When>>,
  True<Agrees<Schemas['DeskPageSiteLine'], lists.DeskPage<lists.SiteLine>>>,
  True<Agrees<Schemas['SiteLine'], lists.SiteLine>>,
  True<Agrees<Schemas['ForayLine'], lists.ForayLine>>,
  True<Agrees<Schemas['SiteEdge'], lists.SiteEdge>>,
  True<Agrees<Schemas['Offer'], lists.Offer>>,
  True<Agrees<Schemas['Offered'], lists.Offered>>,
  True<Agrees<Schemas['ShownSeason'], ours.ShownSeason>>,
  True<Agrees<Schemas['Box'], ours.Box>>,
  True<Agrees<Schemas['ShownMe'], ours.ShownMe>>,
  True<Agrees<Schemas['Choice'], ours.Choice>>,
  True<Agrees<Schemas['Choices'], ours.Choices>>,
  True<Agrees<Schemas['ShownPlace'], ours.ShownPlace>>,
  True<Agrees<Schemas['ShownName'], ours.ShownName>>,
  True<Agrees<Schemas['ShownView'], ours.ShownView>>,
  True<Agrees<Schemas['ShownSlip'], ours.ShownSlip>>,
  True<Agrees<Schemas['ShownRequest'], requests.ShownRequest>>,
  True<Agrees<Schemas['Askable'], requests.Askable>>,
  True<Agrees<Schemas['AskedWith'], requests.AskedWith>>,
  True<Agrees<Schemas['GivenRequest'], requests.GivenRequest>>,
  True<Agrees<Schemas['RecordSheet'], ours.RecordSheet>>,
  True<Agrees<Schemas['EditableRecord'], ours.EditableRecord>>,
  True<Agrees<Schemas['EditablePlace'], ours.EditablePlace>>,
  True<Agrees<Schemas['EditableView'], ours.EditableView>>,
  True<Agrees<Schemas['DaybookPage'], ours.DaybookPage>>,
  True<Agrees<Schemas['DayCount'], ours.DayCount>>,
  True<Agrees<Schemas['DayFind'], ours.DayFind>>,
  True<Agrees<Schemas['BookPage'], ours.BookPage>>,
  True<Agrees<Schemas['Coded'], ours.Coded>>,
  True<Agrees<Schemas['BookLine'], ours.BookLine>>,
  True<Agrees<Schemas['TablePage'], ours.TablePage>>,
  True<Agrees<Schemas['TableGroup'], ours.TableGroup>>,
  True<Agrees<Schemas['TableFind'], ours.TableFind>>,
  True<Agrees<Schemas['ShownDeterminer'], ours.ShownDeterminer>>,
  True<Agrees<Schemas['GivenName'], ours.GivenName>>,
  True<Agrees<Schemas['NameChoice'], ours.NameChoice>>,
  True<Agrees<Schemas['SquaresPage'], ours.SquaresPage>>,
  True<Agrees<Schemas['ShownSquare'], ours.ShownSquare>>,
  True<Agrees<Schemas['ShownSite'], ours.ShownSite>>,
  True<Agrees<Schemas['GridLine'], ours.GridLine>>,
  True<Agrees<Schemas['DepositsPage'], ours.DepositsPage>>,
  True<Agrees<Schemas['ShownDeposit'], ours.ShownDeposit>>,
  True<Agrees<Schemas['Check'], ours.Check>>,
  True<Agrees<Schemas['BeforeDeposit'], ours.BeforeDeposit>>,
  True<Agrees<Schemas['SeenTwice'], ours.SeenTwice>>,
  True<Agrees<Schemas['ShownPerson'], ours.ShownPerson>>,
  True<Agrees<Schemas['ShownAmendment'], ours.ShownAmendment>>,
  True<Agrees<Schemas['DrawingProgress'], ours.DrawingProgress>>,
  True<Agrees<Schemas['ReadPlace'], ours.ReadPlace>>,
  True<Agrees<Schemas['ShownDeskSite'], desk.ShownDeskSite>>,
  True<Agrees<Schemas['Permission'], desk.Permission>>,
  True<Agrees<Schemas['ShownForay'], desk.ShownForay>>,
  True<Agrees<Schemas['Settings'], desk.Settings>>,
  True<Agrees<Schemas['CareLists'], desk.CareLists>>,
  True<Agrees<Schemas['ShownProtection'], desk.ShownProtection>>,
  True<Agrees<Schemas['ShownLookAlike'], desk.ShownLookAlike>>,
  True<Agrees<Schemas['Ruling'], desk.Ruling>>,
  True<Agrees<Schemas['ReadShape'], desk.ReadShape>>,
  True<Agrees<Schemas['ShapeFault'], desk.ShapeFault>>,
  True<Agrees<Schemas['ForayRow'], foray.ForayRow>>,
  True<Agrees<Schemas['ForayRowDone'], foray.ForayRowDone>>,
  True<Agrees<Schemas['ForayTableDone'], foray.ForayTableDone>>,
  True<Agrees<Schemas['ForayTablePage'], foray.ForayTablePage>>,
  True<Agrees<Schemas['EditablePerson'], person.EditablePerson>>,
  True<Agrees<Schemas['Consent'], person.Consent>>,
  True<Agrees<Schemas['RulingsAsked'], rulings.RulingsAsked>>,
  True<Agrees<Schemas['ComingForay'], foray.ComingForay>>,
  True<Agrees<Schemas['ShownSlips'], foray.ShownSlips>>,
  True<Agrees<Schemas['ShownLeader'], foray.ShownLeader>>,
  True<Agrees<Schemas['NameAsked'], foray.NameAsked>>,
  True<Agrees<Schemas['NamedFile'], foray.NamedFile>>,
  True<Agrees<Schemas['NumberedFind'], foray.NumberedFind>>,
  True<Agrees<Schemas['NamedFiles'], foray.NamedFiles>>,
  True<Agrees<Schemas['ShownCard'], measure.ShownCard>>,
  True<Agrees<Schemas['ShownFrame'], measure.ShownFrame>>,
  True<Agrees<Schemas['ShownTag'], measure.ShownTag>>,
  True<Agrees<Schemas['ShownPlane'], measure.ShownPlane>>,
  True<Agrees<Schemas['SizeCharacter'], measure.SizeCharacter>>,
  True<Agrees<Schemas['ShownPrint'], measure.ShownPrint>>,
  True<Agrees<Schemas['GivenSize'], measure.GivenSize>>,
  True<Agrees<Schemas['GivenFigure'], measure.GivenFigure>>,
  True<Agrees<Schemas['ShownSize'], measure.ShownSize>>,
  True<Agrees<Schemas['TriedSize'], measure.TriedSize>>,
  True<Agrees<Schemas['ShownFigure'], measure.ShownFigure>>,
  True<Agrees<Schemas['ShownLine'], measure.ShownLine>>,
  True<Agrees<Schemas['GivenStroke'], measure.GivenStroke>>,
  True<Agrees<Schemas['ProposedOutline'], measure.ProposedOutline>>,
  True<Agrees<Schemas['GivenSnap'], measure.GivenSnap>>,
  True<Agrees<Schemas['SnappedPoint'], measure.SnappedPoint>>,
  True<Agrees<Schemas['ShownBatch'], measure.ShownBatch>>,
  True<Agrees<Schemas['Pixel'], measure.Pixel>>,
  True<Agrees<Schemas['GivenColour'], colour.GivenColour>>,
  True<Agrees<Schemas['ShownColour'], colour.ShownColour>>,
  True<Agrees<Schemas['ShownTone'], colour.ShownTone>>,
  True<Agrees<Schemas['ShownAdvice'], colour.ShownAdvice>>,
  True<Agrees<Schemas['ShownChange'], colour.ShownChange>>,
  True<Agrees<Schemas['ShownTogether'], colour.ShownTogether>>,
  True<Agrees<Schemas['BookTone'], ours.BookTone>>,
];
type True<T extends true> = T;
