//! What an editor asks about a place: what may stand there, what a name means, where it
//! was made. The desk knows; here it is put into the protocol's words.

use glost_desk::editor::{Editor, Offer, What};
use lsp_types::{
    CompletionItem, CompletionItemKind, CompletionTextEdit, Documentation, Hover, HoverContents, Location,
    MarkupContent, MarkupKind, Range, TextDocumentPositionParams, TextEdit,
};
use serde::Serialize;
use serde_json::Value;

use super::{address, places};

/// Reads the place that is asked about, and answers; `null` where there is nothing to say.
pub(super) fn with<A: Serialize>(
    params: Value,
    answer: impl FnOnce(TextDocumentPositionParams) -> Option<A>,
) -> Result<Value, serde_json::Error> {
    serde_json::to_value(answer(serde_json::from_value(params)?))
}

pub(super) fn completion(editor: &Editor, asked: &TextDocumentPositionParams) -> Option<Vec<CompletionItem>> {
    let path = address::path(&asked.text_document.uri)?;
    let text = editor.text(&path)?;
    let offers = editor.offers(&path, places::mark(asked.position, &text))?;
    let range = places::from_mark(offers.from, asked.position, &text);
    let items = offers.offers.into_iter().enumerate();
    Some(items.map(|(place, offer)| item(offer, place, range)).collect())
}

fn item(offer: Offer, place: usize, range: Range) -> CompletionItem {
    let kind = match offer.what {
        What::Property => CompletionItemKind::PROPERTY,
        What::Method => CompletionItemKind::METHOD,
        What::Function => CompletionItemKind::FUNCTION,
        What::Name => CompletionItemKind::VARIABLE,
        What::Library => CompletionItemKind::MODULE,
        What::Key => CompletionItemKind::FIELD,
        What::Word => CompletionItemKind::VALUE,
        What::Keyword => CompletionItemKind::KEYWORD,
    };
    let told = |text: String| (!text.is_empty()).then_some(text);
    CompletionItem {
        kind: Some(kind),
        detail: told(offer.shape),
        documentation: told(offer.about).map(Documentation::String),
        // In our order: what lies nearest comes first.
        sort_text: Some(format!("{place:06}")),
        filter_text: Some(offer.name.clone()),
        text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(range, offer.name.clone()))),
        label: offer.name,
        ..CompletionItem::default()
    }
}

pub(super) fn hover(editor: &Editor, asked: &TextDocumentPositionParams) -> Option<Hover> {
    let path = address::path(&asked.text_document.uri)?;
    let text = editor.text(&path)?;
    let told = editor.explained(&path, places::mark(asked.position, &text))?;
    Some(Hover {
        contents: HoverContents::Markup(MarkupContent {
            kind: MarkupKind::Markdown,
            value: glost_page::words::explained(&told),
        }),
        range: None,
    })
}

pub(super) fn definition(editor: &Editor, asked: &TextDocumentPositionParams) -> Option<Location> {
    let path = address::path(&asked.text_document.uri)?;
    let text = editor.text(&path)?;
    let made = editor.made(&path, places::mark(asked.position, &text))?;
    let there = editor.saved_or_open(&made.file)?;
    Some(Location {
        uri: address::uri(&made.file)?,
        range: places::word(made.mark, made.width, &there),
    })
}
