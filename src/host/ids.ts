/** Every id that package.json and the code share. A test keeps the two in step. */
export const commandIds = {
  checkNow: 'kitwright.checkNow',
  cancelCheck: 'kitwright.cancelCheck',
  openTurntable: 'kitwright.openTurntable',
  showStl: 'kitwright.showStl',
  showFlag: 'kitwright.showFlag',
  explainFinding: 'kitwright.explainFinding',
  explainPart: 'kitwright.explainPart',
  findRemedy: 'kitwright.findRemedy',
  proposeOpenings: 'kitwright.proposeOpenings',
  proposePose: 'kitwright.proposePose',
  proposeSupports: 'kitwright.proposeSupports',
  proposeSplit: 'kitwright.proposeSplit',
  proposePlates: 'kitwright.proposePlates',
  proposePins: 'kitwright.proposePins',
  schedule: 'kitwright.schedule',
  makeReady: 'kitwright.makeReady',
  proofPiece: 'kitwright.proofPiece',
  writeCoupon: 'kitwright.writeCoupon',
  measureCoupon: 'kitwright.measureCoupon',
  logPrint: 'kitwright.logPrint',
  askJournal: 'kitwright.askJournal',
  makeAllReady: 'kitwright.makeAllReady',
  startKit: 'kitwright.startKit',
  showKit: 'kitwright.showKit',
  record: 'kitwright.record',
  compare: 'kitwright.compare',
  showBoth: 'kitwright.showBoth',
  goToPart: 'kitwright.goToPart',
  showLog: 'kitwright.showLog',
} as const;

/** Settings change presentation only; what changes a figure stands in kit.yaml. */
export const settingIds = {
  checkLive: 'kitwright.check.live',
  checkDelay: 'kitwright.check.delay',
  codeLens: 'kitwright.codeLens.enabled',
  followCursor: 'kitwright.turntable.followCursor',
} as const;

export const contextIds = {
  hasKit: 'kitwright.hasKit',
  checking: 'kitwright.checking',
  /** The workspace has been searched for kits. */
  searched: 'kitwright.searched',
} as const;

export const viewIds = {
  parts: 'kitwright.parts',
} as const;

export const viewTypes = {
  turntable: 'kitwright.turntable',
  stl: 'kitwright.stl',
  kit: 'kitwright.kit',
  besides: 'kitwright.besides',
} as const;

/** Scheme of the documents that explain a part. */
export const explainScheme = 'kitwright-explain';

/** Scheme of the documents that tell what changed between ledgers. */
export const changesScheme = 'kitwright-changes';
/** Scheme of the documents that put a kit's prints one after the other. */
export const scheduleScheme = 'kitwright-schedule';

export const manifestName = 'kit.yaml';

export type CommandId = (typeof commandIds)[keyof typeof commandIds];
export type SettingId = (typeof settingIds)[keyof typeof settingIds];
export type ContextId = (typeof contextIds)[keyof typeof contextIds];
