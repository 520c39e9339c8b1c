// Short names for the shapes of the wire. They are generated from the server: see api.d.ts.
import type { components } from "../api";

type Schemas = components["schemas"];
export type State = Schemas["State"];
export type Machine = Schemas["Machine"];
export type Layout = Schemas["Layout"];
export type LaidMachine = Schemas["LaidMachine"];
export type LaidSystem = Schemas["LaidSystem"];
export type LaidPiece = Schemas["LaidPiece"];
export type LaidHose = Schemas["LaidHose"];
export type LaidShape = Schemas["LaidShape"];
export type Fault = Schemas["Fault"];
export type Ask = Schemas["Ask"];
export type AskRunning = Schemas["AskRunning"];
export type Edit = Schemas["Edit"];
export type Look = Schemas["Look"];
export type LookPort = Schemas["LookPort"];
export type LookPiece = Schemas["LookPiece"];
export type LookShare = Schemas["LookShare"];
export type LookSheet = Schemas["LookSheet"];
export type LookCurve = Schemas["LookCurve"];
export type Finding = Schemas["Finding"];
export type Remedy = Schemas["Remedy"];
export type Part = Schemas["Part"];
export type Chart = Schemas["Chart"];
export type ChartLine = Schemas["ChartLine"];
export type Words = Schemas["Words"];
export type Filter = NonNullable<Ask["filter"]>;
