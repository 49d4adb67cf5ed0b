//! What the book of batches and the kiln's book know of the pieces of a note.

use glost_chemistry::diagnostic::{did_you_mean, nearest};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firings, Group, Put};
use glost_core::evidence::notes::{APART_KEY, KILN_KEY, MARK_KEY, MISSED_KEY, Note, OVER_KEY};
use glost_core::workshop::batches::{Batch, Booking, Journal, NotOne};
use serde_json::Value;

use super::which::{is_firing, is_put, not_in_it, slip, which};
use super::{Draft, Noticed, Slip};
use crate::kiln::{booked, group_name};
use crate::{Desk, Failure, Said};

/// Both books, read once for many notes.
pub(super) struct Books<'a> {
    desk: &'a Desk,
    batches: Journal,
    firings: Firings,
}

/// What they know of one note's pieces.
#[derive(Debug, Default)]
pub(super) struct Known {
    /// The lots that the batch was weighed from; none: no batch of it is booked.
    pub(super) lots: Option<Vec<(String, String)>>,
    kiln: Option<String>,
    missed: Option<f64>,
    apart: bool,
    mark: Option<String>,
    /// How many were loaded.
    pieces: Option<u32>,
    /// Whether an earlier note of the same pieces named their tile.
    pub(super) noted_before: bool,
    said: Vec<Noticed>,
}

impl Known {
    /// What an earlier look at the same pieces knew.
    pub(super) fn of_earlier(earlier: &Note) -> Known {
        Known {
            lots: Some(earlier.lots.clone()),
            kiln: earlier.kiln_id().map(str::to_owned),
            missed: earlier.missed_cones(),
            apart: earlier.is_apart(),
            noted_before: true,
            ..Known::default()
        }
    }

    /// Puts it into the settled note.
    ///
    /// # Errors
    /// More pieces were looked at than loaded.
    pub(super) fn apply(self, note: &mut Note, assumptions: &mut Vec<Said>) -> Result<(), Slip> {
        if let (Some(loaded), Some(looked)) = (self.pieces, note.pieces)
            && looked > loaded
        {
            let key = if note.crazed.is_some() { "crazed" } else { "pieces" };
            let message = format!("{looked} pieces, but {loaded} were loaded");
            return Err(slip(
                key,
                message,
                "count again; or were some of another batch? `glost kiln` lists the loads".to_owned(),
            ));
        }
        if let Some(lots) = self.lots {
            note.lots = lots;
        }
        if let Some(kiln) = self.kiln {
            note.with_text(KILN_KEY, &kiln);
        }
        if let Some(missed) = self.missed {
            note.other.push((MISSED_KEY.to_owned(), Value::from(missed)));
        }
        if self.apart {
            note.other.push((APART_KEY.to_owned(), Value::Bool(true)));
        }
        if let (Some(mark), None) = (self.mark, note.mark()) {
            note.with_text(MARK_KEY, &mark);
        }
        assumptions.extend(self.said.into_iter().map(Said::Note));
        Ok(())
    }
}

impl<'a> Books<'a> {
    /// Reads both. A book of batches that can't be read is as good as none here: whoever reads
    /// it for its own sake complains.
    ///
    /// # Errors
    /// The kiln's book can't be read at all.
    pub(super) fn open(desk: &'a Desk) -> Result<Books<'a>, Failure> {
        let (firings, complaints) = desk.workplace().kiln_book()?;
        desk.tell(complaints);
        let read = desk.workplace().batch_book().and_then(|book| book.read().ok());
        Ok(Books {
            desk,
            batches: read.map_or_else(Journal::default, |read| read.journal),
            firings,
        })
    }

    /// Fills what a note leaves open with what the books know of its pieces.
    ///
    /// # Errors
    /// It can't be told which pieces are meant; they were looked at before the kiln was opened.
    pub(super) fn fill(&self, draft: &mut Draft, today: Date) -> Result<Known, Slip> {
        let mut known = Known::default();
        if let Some((over, under)) = draft.said("glaze").and_then(|name| self.desk.two_glazes(name)) {
            draft.replace("glaze", Some(&under));
            draft.replace(OVER_KEY, Some(&over));
        }
        self.batch_of_mark(draft)?;
        let booking = self.booking(draft)?.cloned();
        if let Some(booking) = &booking {
            if draft.said("glaze").is_none() && draft.said("tile").is_none() {
                draft.say("glaze", &booking.glaze);
            }
            known.mark.clone_from(&booking.mark);
        }
        self.fill_from_kiln(draft, booking.as_ref(), today, &mut known)?;
        let nameless = draft.said("glaze").is_none() && draft.said("tile").is_none();
        if let (true, None, Some(batch)) = (nameless, &booking, draft.said("batch")) {
            return Err(self.never_booked(batch));
        }
        if let Some(booking) = booking {
            self.fill_from_book(draft, &booking, &mut known);
        }
        Ok(known)
    }

    /// A mark alone tells the batch that it was scratched on.
    fn batch_of_mark(&self, draft: &mut Draft) -> Result<(), Slip> {
        let named = ["glaze", "tile", "batch"].iter().any(|key| draft.said(key).is_some());
        let Some(mark) = draft.said(MARK_KEY).filter(|_| !named).map(str::to_owned) else {
            return Ok(());
        };
        let is_it = |other: Option<&str>| other.is_some_and(|other| folded(other) == folded(&mark));
        let standing = || self.batches.batches.iter().filter(|batch| batch.stands());
        let mut marked: Vec<&Batch> = standing()
            .filter(|batch| is_it(batch.booking.mark.as_deref()))
            .collect();
        for entry in self.firings.standing().flat_map(|firing| &firing.load) {
            let Put::Batch { number, booking } = &entry.put else {
                continue;
            };
            if is_it(entry.mark.as_deref())
                && let Some(batch) = booked(&self.batches, number, booking.as_deref())
                && !marked.iter().any(|known| known.booking.id == batch.booking.id)
            {
                marked.push(batch);
            }
        }
        match marked.as_slice() {
            [one] => {
                draft.say("batch", &one.booking.id);
                Ok(())
            }
            [] => Err(slip(
                MARK_KEY,
                format!("no batch here has the mark `{mark}`"),
                "name its glaze, or its batch; `glost recall MARK` finds where a mark was noted".to_owned(),
            )),
            several => {
                let told = several.iter().map(|batch| {
                    let booking = &batch.booking;
                    format!("{} ({}, {})", booking.number.text(), booking.glaze, booking.on)
                });
                Err(slip(
                    MARK_KEY,
                    format!("{} batches have the mark `{mark}`", several.len()),
                    format!("say which with --batch: {}", told.collect::<Vec<_>>().join(", ")),
                ))
            }
        }
    }

    /// The booking that is meant, where it is of the glaze that is named.
    fn booking(&self, draft: &mut Draft) -> Result<Option<&Booking>, Slip> {
        let Some(named) = draft.said("batch").map(str::to_owned) else {
            return Ok(None);
        };
        let booking = match self.batches.only(&named) {
            Ok(batch) if batch.stands() => &batch.booking,
            Ok(_) | Err(NotOne::Unknown) => return Ok(None),
            Err(NotOne::Several(batches)) => return self.of_several(draft, &named, &batches),
        };
        // A number is what stands on the bucket; an id is said only where it must be.
        let shared = self.batches.only(booking.number.text()).is_err();
        draft.replace("batch", Some(if shared { &booking.id } else { booking.number.text() }));
        Ok(self.is_of(draft, &booking.glaze).then_some(booking))
    }

    /// A batch alone that nobody booked tells no glaze.
    fn never_booked(&self, named: &str) -> Slip {
        let standing = self.batches.batches.iter().filter(|batch| batch.stands());
        let numbers: Vec<&str> = standing.map(|batch| batch.booking.number.text()).collect();
        let booked = match (nearest(named, numbers.iter().copied()), numbers.as_slice()) {
            (Some(near), _) => format!("{} Else", did_you_mean(near)),
            (None, []) => "no batch is booked yet;".to_owned(),
            (None, [.., last]) => format!("the last booked is {}, `glost batches` lists all; else", last),
        };
        let message = match self.batches.only(named) {
            Ok(_) => format!("the booking of batch {} was taken back", named),
            Err(_) => format!("no batch is booked as `{}`, so nothing says which glaze it is", named),
        };
        let help = format!("{} name the glaze too: glost note GLAZE --batch {} ...", booked, named);
        slip("batch", message, help)
    }

    /// Two clones gave one number: the glaze may tell which is meant.
    fn of_several<'b>(
        &self,
        draft: &mut Draft,
        named: &str,
        batches: &[&'b Batch],
    ) -> Result<Option<&'b Booking>, Slip> {
        let fitting: Vec<&'b Batch> = match draft.said("glaze") {
            Some(_) => batches
                .iter()
                .copied()
                .filter(|batch| self.is_of(draft, &batch.booking.glaze))
                .collect(),
            None => batches.to_vec(),
        };
        if let [one] = fitting.as_slice() {
            draft.replace("batch", Some(&one.booking.id));
            return Ok(Some(&one.booking));
        }
        let ids: Vec<String> = batches
            .iter()
            .map(|batch| format!("{} ({}, {})", batch.booking.id, batch.booking.glaze, batch.booking.on))
            .collect();
        let message = format!("{} batches are called {named}", batches.len());
        Err(slip(
            "batch",
            message,
            format!("name one by its id: {}", ids.join(", ")),
        ))
    }

    /// Whether a note is of this glaze, as far as it says.
    fn is_of(&self, draft: &Draft, glaze: &str) -> bool {
        let Some(named) = draft.said("glaze") else { return true };
        let found = || self.desk.workplace().look_for_glaze(named).ok();
        folded(named) == folded(glaze) || found().is_some_and(|found| folded(&found.glaze.name) == folded(glaze))
    }

    fn fill_from_book(&self, draft: &mut Draft, booking: &Booking, known: &mut Known) {
        let clay = booking.clay.as_ref().filter(|_| draft.said("clay").is_none());
        if let Some(clay) = clay {
            draft.say("clay", clay);
        }
        let open = draft.said("firing").is_none() && draft.said("cone").is_none();
        let fired = [("firing", &booking.fired_in), ("cone", &booking.cone)];
        for (key, text) in fired {
            if let (true, Some(text)) = (open, text) {
                draft.say(key, text);
            }
        }
        if let (None, Some(version)) = (draft.said("version"), &booking.version) {
            draft.say("version", version);
        }
        let mut lots = booking.lots();
        // A bag without a lot then isn't of the lot that its sheet names now.
        for line in &booking.lines {
            let now = self.desk.workplace().library().find(&line.material);
            if line.lot.is_none() && now.is_some_and(|material| material.lot.is_some()) {
                lots.push((line.material.clone(), String::new()));
            }
        }
        known.said.push(Noticed::AsBooked {
            batch: booking.number.text().to_owned(),
            on: booking.on,
            glaze: booking.glaze.clone(),
            lots: lots.clone(),
            clay: clay.cloned(),
            cone: booking.cone.clone().filter(|_| open),
            version: booking.version.clone(),
        });
        known.lots = Some(lots);
    }

    fn fill_from_kiln(
        &self,
        draft: &mut Draft,
        booking: Option<&Booking>,
        today: Date,
        known: &mut Known,
    ) -> Result<(), Slip> {
        known.said.extend(self.unknown_firing(draft));
        let all = self.firings.groups();
        let of_these: Vec<&Group<'_>> = all.iter().filter(|group| is_put(group.put, draft, booking)).collect();
        if of_these.is_empty() {
            known.said.extend(self.still_in_the_kiln(draft, booking));
            return Ok(());
        }
        let by_id = draft
            .said("firing")
            .is_some_and(|text| self.firings.has_id(&folded(text)));
        let some_bare = of_these.iter().any(|group| group.over.is_none());
        let fits = |group: &&&Group<'_>| {
            // Whoever names no second glaze means the pieces without one, where there are any.
            let over = draft.said(OVER_KEY).map(folded);
            if over != group.over.map(folded) && (over.is_some() || some_bare) {
                return false;
            }
            let clay = draft.said("clay").map(folded);
            draft.said("firing").is_none_or(|text| is_firing(group.firing, text))
                && (clay.is_none() || group.clay.is_none() || clay == group.clay.map(folded))
        };
        let meant: Vec<&Group<'_>> = of_these.iter().filter(fits).copied().collect();
        let group = match meant.as_slice() {
            [] if by_id => return Err(not_in_it(draft, &of_these)),
            [] => return Ok(()),
            [one] => *one,
            several => return Err(which(draft, several)),
        };
        let Some(opened) = &group.firing.opened else {
            return Ok(());
        };
        self.take(draft, group, today, opened.on, known)
    }

    /// Takes what a firing knows of its pieces.
    fn take(
        &self,
        draft: &mut Draft,
        group: &Group<'_>,
        today: Date,
        opened: Date,
        known: &mut Known,
    ) -> Result<(), Slip> {
        let firing = group.firing;
        let on = draft
            .said("on")
            .and_then(|text| Date::parse(text).ok())
            .unwrap_or(today);
        let days = on.days_since(opened);
        if days < 0 {
            let message = format!("{on} is before these pieces came from the kiln, {opened}");
            return Err(slip("on", message, "write the day they were looked at".to_owned()));
        }
        if draft.said("clay").is_none()
            && let Some(clay) = group.clay
        {
            draft.say("clay", clay);
        }
        if let (None, Some(over)) = (draft.said(OVER_KEY), group.over) {
            draft.say(OVER_KEY, over);
        }
        draft.replace("firing", firing.firing.as_deref());
        // Whoever says a cone says which firings these count with.
        let pooled = draft.said("cone").is_some();
        if !pooled {
            known.missed = firing.missed();
            known.apart = firing.is_apart();
            draft.replace("cone", firing.cone());
        }
        if !draft.says_age() {
            draft.say("age_days", &days.to_string());
        }
        if !draft.says_pieces() {
            draft.say("pieces", &group.pieces.to_string());
        }
        if let (None, Put::Glaze(_) | Put::Tile(_)) = (draft.said("batch"), group.put) {
            draft.say("batch", &group_name(firing, group.put));
        }
        known.kiln = Some(firing.id.clone());
        known.pieces = Some(group.pieces);
        known.mark = group.marks.first().map(|mark| (*mark).to_owned()).or(known.mark.take());
        known.said.push(Noticed::FromKiln {
            id: firing.id.clone(),
            firing: firing.firing.clone(),
            opened,
            clay: group.clay.map(str::to_owned),
            cone: firing.cone().map(str::to_owned),
            pieces: group.pieces,
            age_days: days,
        });
        if let (Some(cones), Some(meant)) = (firing.missed(), &firing.cone_meant) {
            known.said.push(Noticed::ConesMissed {
                cones,
                meant: meant.clone(),
                pooled,
            });
        }
        Ok(())
    }

    /// A firing that the kiln's book doesn't have, where there is such a book.
    fn unknown_firing(&self, draft: &Draft) -> Option<Noticed> {
        let firing = draft.said("firing")?;
        let mut all = self.firings.all().iter();
        if all.len() == 0 || all.any(|known| is_firing(known, firing)) {
            return None;
        }
        let ids = self.firings.standing().map(|firing| firing.id.as_str());
        let names = self.firings.standing().filter_map(|firing| firing.firing.as_deref());
        Some(Noticed::UnknownFiring {
            firing: firing.to_owned(),
            near: nearest(firing, names.chain(ids)).map(str::to_owned),
        })
    }

    /// A load with these pieces that nobody opened yet.
    fn still_in_the_kiln(&self, draft: &Draft, booking: Option<&Booking>) -> Option<Noticed> {
        let closed = self.firings.standing().filter(|firing| firing.opened.is_none());
        let mut holding = closed.filter(|firing| firing.load.iter().any(|entry| is_put(&entry.put, draft, booking)));
        holding.next().map(|firing| Noticed::NotOpened {
            id: firing.id.clone(),
            firing: firing.firing.clone(),
        })
    }
}
