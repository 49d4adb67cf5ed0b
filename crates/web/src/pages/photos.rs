//! Photos of pieces: taken in with a note, shown by age.

use std::convert::Infallible;
use std::path::Path as Folder;
use std::sync::Arc;

use axum::extract::{FromRequestParts, Path, State};
use axum::http::request::Parts;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Html, amounts};
use glost_page::html;
use serde::Deserialize;

use super::Bench;
use super::asking::{Asking, Trouble};
use crate::door::{Form, Refusal, Upload};
use crate::keeping::Keeping;
use crate::photo::{Kept, Kind, of_name};

/// An image is an image: nothing in it is run, whatever it holds.
const POLICY: &str = "default-src 'none'; sandbox";

/// A file that came with a form.
pub(crate) struct Brought(Option<axum::body::Bytes>);

impl<S: Sync> FromRequestParts<S> for Brought {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Brought, Infallible> {
        Ok(Brought(
            parts.extensions.get::<Upload>().and_then(|upload| upload.file.clone()),
        ))
    }
}

impl Brought {
    /// What is in it.
    pub(crate) fn bytes(&self) -> Option<&[u8]> {
        self.0.as_deref()
    }

    /// The photo that a form with a mistake brought, where it brings none itself.
    pub(crate) fn or_held(self, keeping: &Keeping, said: &Form) -> Brought {
        let held = || keeping.photo(said.text("kept_photo")?).map(axum::body::Bytes::from);
        Brought(self.0.or_else(held))
    }

    /// Holds a photo while its form is mended; gives its name.
    pub(crate) fn hold(&self, keeping: &Keeping, said: &Form) -> Option<String> {
        match &self.0 {
            // Where it can't be held it is chosen again.
            Some(bytes) => keeping.keep_photo(bytes).ok(),
            None => said.text("kept_photo").map(str::to_owned),
        }
    }

    /// Keeps it in the studio as a photo, bare.
    ///
    /// # Errors
    /// It is no photo, isn't whole, or can't be written.
    pub(crate) fn keep(&self, studio: &Folder) -> Result<Option<Kept>, Refusal> {
        let Some(bytes) = &self.0 else { return Ok(None) };
        let kind = Kind::of(bytes).ok_or_else(|| {
            let refusal = Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "no-photo", "that file is no photo");
            refusal.help("choose a JPEG, PNG or WebP picture")
        })?;
        let bare = kind.bare(bytes).ok_or_else(|| {
            let refusal = Refusal::new(StatusCode::UNSUPPORTED_MEDIA_TYPE, "no-photo", "that photo isn’t whole");
            refusal.help("take it again, or choose another")
        })?;
        Kept::write(studio, kind, &bare).map(Some).map_err(|why| {
            let message = format!("the photo can’t be written: {why}");
            Refusal::new(StatusCode::SERVICE_UNAVAILABLE, "not-kept", message)
                .help("make room on the disk, then send it again")
        })
    }
}

/// One photo.
pub(crate) async fn photo(State(bench): State<Arc<Bench>>, Path(name): Path<String>) -> Response {
    let found = of_name(&bench.folder, &name).and_then(|(path, kind)| Some((std::fs::read(path).ok()?, kind)));
    match found {
        Some((bytes, kind)) => {
            let headers = [
                (header::CONTENT_TYPE, kind.media_type()),
                (header::CONTENT_SECURITY_POLICY, POLICY),
                (header::CONTENT_DISPOSITION, "inline"),
            ];
            (headers, bytes).into_response()
        }
        None => Refusal::new(StatusCode::NOT_FOUND, "no-page", "there is no such photo").into_response(),
    }
}

#[derive(Deserialize)]
struct Notes {
    notes: Vec<Note>,
}

#[derive(Deserialize)]
struct Note {
    on: String,
    #[serde(default)]
    photo: Option<String>,
    #[serde(default)]
    age_days: Option<f64>,
    #[serde(default)]
    batch: Option<String>,
}

/// A glaze's photos, the youngest pieces first; nothing where there are none.
pub(crate) async fn of(bench: &Bench, glaze: &str) -> Html {
    let notes: Result<Notes, Trouble> = bench.ask(&Asking::of("notes").with("glaze", glaze)).await;
    // A notebook that can't be read is told beside this.
    let mut notes = notes.map_or_else(|_| Vec::new(), |notes| notes.notes);
    notes.sort_by(|one, other| one.age_days.unwrap_or(0.0).total_cmp(&other.age_days.unwrap_or(0.0)));
    let one = |note: &Note| {
        let name = note.photo.as_ref()?.strip_prefix("photos/")?;
        of_name(&bench.folder, name)?;
        let age = note
            .age_days
            .map_or_else(String::new, |days| format!("{days:.0} days old, "));
        let batch = note
            .batch
            .as_ref()
            .map_or_else(String::new, |batch| format!(", batch {batch}"));
        let told = format!("{age}{}{batch}", amounts::day(&note.on));
        Some(html!(
            "<li><a href=\"/photo/{}\"><img src=\"/photo/{}\" alt=\"{} {}\" loading=\"lazy\"></a>{}</li>",
            name,
            name,
            glaze,
            told,
            told
        ))
    };
    let photos: Html = notes.iter().filter_map(one).collect();
    if photos.is_empty() {
        photos
    } else {
        html!("<h2>Photos by age</h2><ul class=\"photos\">{}</ul>", photos)
    }
}
