//! An editor that talks to `glost script lsp`: what it sends, what comes back.

use std::path::Path;

use serde_json::{Value, json};

use super::bench::{Bench, Ran};

/// What an editor sends, message by message.
pub struct Session {
    pub sent: String,
    asked: u64,
}

impl Session {
    /// It introduces itself.
    pub fn begun() -> Session {
        let mut session = Session {
            sent: String::new(),
            asked: 0,
        };
        session.ask("initialize", json!({ "capabilities": {} }));
        session.tell("initialized", json!({}));
        session
    }

    fn send(&mut self, message: &Value) {
        let text = message.to_string();
        self.sent
            .push_str(&format!("Content-Length: {}\r\n\r\n{text}", text.len()));
    }

    pub fn ask(&mut self, method: &str, params: Value) {
        self.asked += 1;
        self.send(&json!({ "jsonrpc": "2.0", "id": self.asked, "method": method, "params": params }));
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    pub fn opens(&mut self, path: &Path, text: &str) {
        let document = json!({ "uri": uri(path), "languageId": "any", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    pub fn changes(&mut self, path: &Path, text: &str) {
        let document = json!({ "uri": uri(path), "version": 2 });
        self.tell(
            "textDocument/didChange",
            json!({ "textDocument": document, "contentChanges": [{ "text": text }] }),
        );
    }

    pub fn closes(&mut self, path: &Path) {
        self.tell("textDocument/didClose", json!({ "textDocument": { "uri": uri(path) } }));
    }

    /// It asks about a place, counted from 0; gives the question's number.
    pub fn asks_at(&mut self, what: &str, path: &Path, (line, character): (usize, usize)) -> u64 {
        let params = json!({
            "textDocument": { "uri": uri(path) },
            "position": { "line": line, "character": character }
        });
        self.ask(&format!("textDocument/{what}"), params);
        self.asked
    }

    /// It says good-bye; what came back.
    pub fn ends(mut self, bench: &Bench) -> Vec<Value> {
        self.ask("shutdown", Value::Null);
        self.tell("exit", Value::Null);
        let ran = bench.run_told(&["script", "lsp"], &self.sent);
        assert_eq!((ran.code, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
        messages(&ran)
    }
}

pub fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

pub fn messages(ran: &Ran) -> Vec<Value> {
    let mut rest = ran.stdout.as_str();
    let mut messages = Vec::new();
    while let Some((head, after)) = rest.split_once("\r\n\r\n") {
        let length: usize = head.strip_prefix("Content-Length: ").unwrap().parse().unwrap();
        messages.push(serde_json::from_str(&after[..length]).unwrap());
        rest = &after[length..];
    }
    assert_eq!(rest, "", "something else on stdout");
    messages
}

/// What was published of a document, each time.
pub fn published<'a>(messages: &'a [Value], path: &Path) -> Vec<&'a Vec<Value>> {
    let of_it = messages.iter().filter(|message| {
        message["method"] == "textDocument/publishDiagnostics" && message["params"]["uri"] == uri(path)
    });
    of_it
        .map(|message| message["params"]["diagnostics"].as_array().unwrap())
        .collect()
}

/// What was answered to a question.
pub fn answered(messages: &[Value], number: u64) -> &Value {
    let found = messages.iter().find(|message| message["id"] == number);
    &found.unwrap_or_else(|| panic!("no answer to {number}"))["result"]
}

/// What was offered.
pub fn offered(messages: &[Value], number: u64) -> Vec<String> {
    let offers = answered(messages, number).as_array().cloned().unwrap_or_default();
    offers
        .iter()
        .map(|offer| offer["label"].as_str().unwrap().to_owned())
        .collect()
}

/// The place of the sign `^` in a text, counted from 0, and the text without it.
pub fn pointed(text: &str) -> ((usize, usize), String) {
    let before = text.split('^').next().unwrap();
    let character = before.rsplit('\n').next().unwrap().encode_utf16().count();
    ((before.matches('\n').count(), character), text.replacen('^', "", 1))
}
