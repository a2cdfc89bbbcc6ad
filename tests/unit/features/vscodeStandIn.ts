/** Of the editor's API what the host's units under test use. What a test wants told otherwise it sets itself. */
export class Uri {
  readonly scheme: string;
  readonly path: string;
  readonly query: string;

  private constructor(scheme: string, path: string, query: string) {
    this.scheme = scheme;
    this.path = path;
    this.query = query;
  }

  get fsPath(): string {
    return this.path;
  }

  static file(path: string): Uri {
    return new Uri('file', path, '');
  }

  static from({ scheme, path, query }: { scheme: string; path: string; query?: string }): Uri {
    return new Uri(scheme, path, query ?? '');
  }

  static parse(text: string): Uri {
    return Uri.file(new URL(text).pathname);
  }

  static joinPath(base: Uri, ...segments: readonly string[]): Uri {
    return new Uri(base.scheme, [base.path, ...segments].join('/'), base.query);
  }

  toString(): string {
    return `${this.scheme}://${this.path}${this.query === '' ? '' : `?${this.query}`}`;
  }
}

export class EventEmitter<T> {
  readonly #listeners = new Set<(value: T) => void>();

  readonly event = (listener: (value: T) => void): { dispose(): void } => {
    this.#listeners.add(listener);
    return { dispose: () => this.#listeners.delete(listener) };
  };

  fire(value: T): void {
    for (const listener of this.#listeners) listener(value);
  }

  dispose(): void {
    this.#listeners.clear();
  }
}

const nothing = { dispose: () => {} };
export const closedDocument = new EventEmitter<{ uri: Uri }>();
/** Handlers of the commands, as they were registered. */
export const registered = new Map<string, (argument: unknown) => unknown>();

export const DiagnosticSeverity = { Error: 0, Warning: 1, Information: 2 };
export const ViewColumn = { Active: -1, Beside: -2 };

export const workspace = {
  registerTextDocumentContentProvider: () => nothing,
  onDidCloseTextDocument: closedDocument.event,
  onDidGrantWorkspaceTrust: () => nothing,
  getConfiguration: () => ({ get: (_: string, otherwise: unknown) => otherwise }),
};

export const commands = {
  registerCommand: (id: string, run: (argument: unknown) => unknown) => {
    registered.set(id, run);
    return nothing;
  },
  executeCommand: async (): Promise<void> => {},
};

export const window: Record<string, unknown> = {
  visibleTextEditors: [],
  showInformationMessage: async (): Promise<undefined> => undefined,
  registerWebviewPanelSerializer: () => nothing,
};
