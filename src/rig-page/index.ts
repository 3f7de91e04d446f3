export type { FrameAccess } from './frame-access.ts';
export type { SaveAnswer, SourceFacts } from './messages.ts';
export { openAccess } from './open-access.ts';
export { openSession } from './server/open-session.ts';
export type { Session } from './server/routes.ts';
export { startRigServer, type RigServer, type ServerOptions } from './server/start-server.ts';
