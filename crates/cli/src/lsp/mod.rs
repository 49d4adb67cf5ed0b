//! The door of `glost script lsp`: the Language Server Protocol on stdio.
//!
//! One message is done with before the next is read, so that what is wrong with a
//! document is published before anything asked later is answered. What there is to
//! say is known by the desk; here it is put into the protocol's words.

mod address;
mod asked;
mod places;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::Diagnostic as Complaint;
use glost_desk::Failure as Fault;
use glost_desk::editor::Editor;
use lsp_server::{Connection, ErrorCode, Message, Notification, Request, Response};
use lsp_types::notification::{
    DidChangeTextDocument, DidCloseTextDocument, DidOpenTextDocument, Notification as _, PublishDiagnostics,
};
use lsp_types::request::{Completion, GotoDefinition, HoverRequest, Request as _};
use lsp_types::{
    CompletionOptions, Diagnostic, DidChangeTextDocumentParams, DidCloseTextDocumentParams, DidOpenTextDocumentParams,
    HoverProviderCapability, InitializeResult, OneOf, PublishDiagnosticsParams, ServerCapabilities, ServerInfo,
    TextDocumentSyncCapability, TextDocumentSyncKind, Uri,
};
use serde::de::DeserializeOwned;

use crate::args::Common;
use crate::outcome::{Failure, Outcome};

/// Serves one editor until it says good-bye or goes away.
pub(crate) fn run(common: &Common) -> Outcome {
    let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
    let (connection, threads) = Connection::stdio();
    let mut server = Server {
        editor: Editor::new(common.studio.as_ref().map(|studio| here.join(studio))),
        connection,
        documents: BTreeMap::new(),
        published: BTreeMap::new(),
    };
    let polite = server
        .serve()
        .map_err(|why| Fault::our_fault("the language server", why))?;
    drop(server);
    threads.join().map_err(|why| {
        Complaint::error("bad-message", format!("what came in is no message of an editor: {why}"))
            .help("this command is for editors: name `glost script lsp` as the language server in yours")
    })?;
    // The protocol: an editor that goes without asking for the shutdown is answered with 1.
    Err(Failure::Written(u8::from(!polite)))
}

/// What keeps the server from going on.
type Broken = Box<dyn std::error::Error + Send + Sync>;

struct Server {
    editor: Editor,
    connection: Connection,
    /// The open documents by their paths, as the editor names them.
    documents: BTreeMap<PathBuf, Uri>,
    /// What was published last, of each file that there is something to say of.
    published: BTreeMap<PathBuf, Vec<Diagnostic>>,
}

fn capabilities() -> ServerCapabilities {
    ServerCapabilities {
        text_document_sync: Some(TextDocumentSyncCapability::Kind(TextDocumentSyncKind::FULL)),
        completion_provider: Some(CompletionOptions {
            trigger_characters: Some([".", ":", "\"", "{", ","].map(str::to_owned).to_vec()),
            ..CompletionOptions::default()
        }),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        definition_provider: Some(OneOf::Left(true)),
        ..ServerCapabilities::default()
    }
}

impl Server {
    /// Whether the editor asked for the shutdown before it went.
    fn serve(&mut self) -> Result<bool, Broken> {
        let (id, _) = match self.connection.initialize_start() {
            Ok(started) => started,
            // It went away, or said `exit`, before it began.
            Err(_) => return Ok(false),
        };
        let hello = InitializeResult {
            capabilities: capabilities(),
            server_info: Some(ServerInfo {
                name: "glost".to_owned(),
                version: Some(env!("CARGO_PKG_VERSION").to_owned()),
            }),
        };
        self.connection.initialize_finish(id, serde_json::to_value(hello)?)?;
        while let Ok(message) = self.connection.receiver.recv() {
            match message {
                Message::Request(request) => {
                    if self.connection.handle_shutdown(&request)? {
                        return Ok(true);
                    }
                    let answer = self.answer(request);
                    self.connection.sender.send(answer.into())?;
                }
                Message::Notification(notification) => self.hear(notification)?,
                Message::Response(_) => {}
            }
        }
        Ok(false)
    }

    fn answer(&self, request: Request) -> Response {
        let Request { id, method, params } = request;
        let answered = match method.as_str() {
            Completion::METHOD => asked::with(params, |asked| asked::completion(&self.editor, &asked)),
            HoverRequest::METHOD => asked::with(params, |asked| asked::hover(&self.editor, &asked)),
            GotoDefinition::METHOD => asked::with(params, |asked| asked::definition(&self.editor, &asked)),
            _ => {
                let unknown = "this server doesn't know that request".to_owned();
                return Response::new_err(id, ErrorCode::MethodNotFound as i32, unknown);
            }
        };
        match answered {
            Ok(value) => Response::new_ok(id, value),
            Err(why) => Response::new_err(id, ErrorCode::InvalidParams as i32, why.to_string()),
        }
    }

    fn hear(&mut self, notification: Notification) -> Result<(), Broken> {
        match notification.method.as_str() {
            DidOpenTextDocument::METHOD => {
                if let Some(DidOpenTextDocumentParams { text_document }) = read(notification) {
                    self.put(text_document.uri, &text_document.text)?;
                }
            }
            DidChangeTextDocument::METHOD => {
                if let Some(DidChangeTextDocumentParams {
                    text_document,
                    mut content_changes,
                }) = read(notification)
                    // Each holds the whole text: the last counts.
                    && let Some(last) = content_changes.pop()
                {
                    self.put(text_document.uri, &last.text)?;
                }
            }
            DidCloseTextDocument::METHOD => {
                if let Some(DidCloseTextDocumentParams { text_document }) = read(notification) {
                    self.close(text_document.uri)?;
                }
            }
            _ => {}
        }
        Ok(())
    }

    /// A document as it reads now; what is wrong with it is published, and whatever
    /// changes for the others.
    fn put(&mut self, uri: Uri, text: &str) -> Result<(), Broken> {
        let Some(path) = address::path(&uri) else {
            // A document that lies in no file, such as an unsaved one.
            return Ok(());
        };
        self.editor.put(&path, text);
        self.documents.insert(path.clone(), uri);
        self.publish_all(Some(&path))
    }

    fn close(&mut self, uri: Uri) -> Result<(), Broken> {
        let Some(path) = address::path(&uri) else { return Ok(()) };
        self.editor.close(&path);
        if self.documents.remove(&path).is_some() {
            self.published.remove(&path);
            self.publish(uri, Vec::new())?;
        }
        self.publish_all(None)
    }

    /// A sheet or a setting that changes can put a recipe right or wrong: all open
    /// documents are looked at, the changed one first, and what is new is published.
    fn publish_all(&mut self, changed: Option<&Path>) -> Result<(), Broken> {
        let others = self.documents.keys().filter(|path| Some(path.as_path()) != changed);
        let order: Vec<PathBuf> = changed.map(Path::to_owned).into_iter().chain(others.cloned()).collect();
        let mut elsewhere: BTreeMap<PathBuf, Vec<Complaint>> = BTreeMap::new();
        for path in order {
            let Some((text, uri)) = self.editor.text(&path).zip(self.documents.get(&path).cloned()) else {
                continue;
            };
            let found = self.editor.complaints(&path);
            for (file, complaint) in found.elsewhere {
                let of_file = elsewhere.entry(file).or_default();
                if !of_file.contains(&complaint) {
                    of_file.push(complaint);
                }
            }
            let own = found.own.iter().map(|one| places::diagnostic(one, &text)).collect();
            self.publish_new(&path, uri, own, Some(path.as_path()) == changed)?;
        }
        self.publish_elsewhere(elsewhere)
    }

    /// What is wrong with files that are needed, though not open.
    fn publish_elsewhere(&mut self, found: BTreeMap<PathBuf, Vec<Complaint>>) -> Result<(), Broken> {
        let closed = |path: &PathBuf| !self.documents.contains_key(path);
        let told = self
            .published
            .keys()
            .filter(|path| closed(path) && !found.contains_key(*path));
        let mended: Vec<PathBuf> = told.cloned().collect();
        let found: Vec<_> = found.into_iter().filter(|(path, _)| closed(path)).collect();
        for (path, complaints) in found {
            let Some(uri) = address::uri(&path) else { continue };
            let own = complaints.iter().map(places::of_file).collect();
            self.publish_new(&path, uri, own, false)?;
        }
        for path in mended {
            self.published.remove(&path);
            if let Some(uri) = address::uri(&path) {
                self.publish(uri, Vec::new())?;
            }
        }
        Ok(())
    }

    /// Publishes what is new, or whatever there is.
    fn publish_new(&mut self, path: &Path, uri: Uri, found: Vec<Diagnostic>, always: bool) -> Result<(), Broken> {
        let known = self.published.get(path);
        if always || known.map_or(!found.is_empty(), |known| *known != found) {
            self.published.insert(path.to_owned(), found.clone());
            self.publish(uri, found)?;
        }
        Ok(())
    }

    fn publish(&self, uri: Uri, diagnostics: Vec<Diagnostic>) -> Result<(), Broken> {
        let said = PublishDiagnosticsParams {
            uri,
            diagnostics,
            version: None,
        };
        let notification = Notification::new(PublishDiagnostics::METHOD.to_owned(), said);
        Ok(self.connection.sender.send(notification.into())?)
    }
}

/// What a notification says. One that can't be read can't be answered either: it is
/// told on stderr, where editors keep a log.
fn read<P: DeserializeOwned>(notification: Notification) -> Option<P> {
    match serde_json::from_value(notification.params) {
        Ok(said) => Some(said),
        Err(why) => {
            crate::complain(&format!("error: {} can't be read: {why}\n", notification.method));
            None
        }
    }
}
