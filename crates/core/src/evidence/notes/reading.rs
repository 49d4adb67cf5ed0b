//! A whole notebook as read: its notes, what was taken back, what can't be read.

use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;

use glost_chemistry::diagnostic::{Diagnostic, Severity, Source};
use glost_chemistry::read::in_parts;

use super::lines::{Line, line_count, lines};
use super::note::{Entry, Note, Target, Void, read_entry};
use super::pieces::OVER_KEY;
use super::read_part::ReadPart;
use crate::line_id::{id_of_text, looks_like_id};
use crate::renames::{Rename, Renamed, Renames};

/// The notes of a notebook in the order of their lines.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Notes {
    notes: Vec<Note>,
    voids: Vec<Void>,
    unread: Vec<usize>,
    lines: usize,
    /// Lines by their ids, once somebody asks.
    by_id: OnceLock<HashMap<String, Vec<usize>>>,
    /// Ids of lines that can't be read.
    unread_ids: HashMap<usize, String>,
    /// The first of git's marks of a conflict.
    conflict: Option<usize>,
}

/// So many lines at least are worth a core of their own.
const LINES_FOR_A_CORE: usize = 1000;

impl Notes {
    /// Reads the text of `notes.jsonl`: every note that is whole, and every
    /// complaint, each with its line. Errors stand for lines that aren't read,
    /// cautions for lines that are. A line that a later one takes back is
    /// complained about no more.
    pub fn read(source: &Source) -> (Notes, Vec<Diagnostic>) {
        let mut notes = Notes {
            lines: line_count(&source.text),
            ..Notes::default()
        };
        let mut complaints: Vec<(usize, Diagnostic)> = Vec::new();
        let mut renames = Renames::default();
        let any_renamed = Renames::may_stand_in(&source.text);
        let all: Vec<Line<'_>> = lines(source).collect();
        let mut others = Vec::new();
        for mut part in in_parts(&all, LINES_FOR_A_CORE, |part| ReadPart::of(part, any_renamed)) {
            // A notebook of years is held once: the first part takes the others in.
            if notes.notes.is_empty() {
                notes.notes = part.notes;
            } else {
                notes.notes.append(&mut part.notes);
            }
            others.append(&mut part.others);
        }
        for line in others {
            if let Some(rename) = Rename::of_line(line.text) {
                renames.push(rename);
                continue;
            }
            let mut doubts = Vec::new();
            match read_entry(line, &mut doubts) {
                Ok(Entry::Note(note)) => notes.notes.push(*note),
                Ok(Entry::Void(void)) => notes.voids.push(void),
                Err(error) => {
                    if line.is_conflict_mark() {
                        notes.conflict = notes.conflict.or(Some(line.number));
                    }
                    notes.unread_ids.insert(line.number, id_of_text(line.text.trim()));
                    notes.unread.push(line.number);
                    doubts.push(error);
                }
            }
            complaints.extend(doubts.into_iter().map(|doubt| (line.number, doubt)));
        }
        // Sorting takes half their room once more.
        if !notes.notes.is_sorted_by_key(|note| note.line) {
            notes.notes.sort_by_key(|note| note.line);
        }
        notes.call_anew(&renames);
        let taken_back = notes.settle();
        notes.unread.retain(|line| !taken_back.contains_key(line));
        complaints.retain(|(line, _)| !taken_back.contains_key(line));
        for void in notes.voids.iter().filter(|void| void.counts && void.of == 0) {
            if let Some(line) = lines(source).find(|line| line.number == void.line) {
                let mut doubt = line
                    .about(
                        "void",
                        "void-of-nothing",
                        "no line here has this id: nothing is taken back",
                    )
                    .help("it came without the note that it takes back; merge again, or leave it: it does no harm");
                doubt.severity = Severity::Caution;
                complaints.push((void.line, doubt));
            }
        }
        (notes, complaints.into_iter().map(|(_, complaint)| complaint).collect())
    }

    /// Whatever was renamed is found under its new name; ids stay those of the lines.
    fn call_anew(&mut self, renames: &Renames) {
        if renames.is_empty() {
            return;
        }
        for note in &mut self.notes {
            let on = note.on;
            if let Some(new) = note.glaze.as_deref().and_then(|name| renames.glaze(name, on)) {
                note.glaze = Some(new);
            }
            if let Some(new) = note.over().and_then(|name| renames.glaze(name, on)) {
                note.with_text(OVER_KEY, &new);
            }
            if let Some(new) = note
                .clay
                .as_deref()
                .and_then(|name| renames.name(Renamed::Clay, name, on))
            {
                note.clay = Some(new);
            }
            for (material, _) in &mut note.lots {
                if let Some(new) = renames.name(Renamed::Material, material, on) {
                    *material = new;
                }
            }
        }
    }

    /// Lines by their ids, each id's in order.
    fn by_id(&self) -> &HashMap<String, Vec<usize>> {
        self.by_id.get_or_init(|| {
            let notes = self.notes.iter().map(|note| (note.line, &note.id));
            let voids = self.voids.iter().map(|void| (void.line, &void.id));
            let unread = self.unread_ids.iter().map(|(line, id)| (*line, id));
            let mut all: Vec<(usize, &String)> = notes.chain(voids).chain(unread).collect();
            all.sort_unstable();
            let mut by_id: HashMap<String, Vec<usize>> = HashMap::with_capacity(all.len());
            for (line, id) in all {
                by_id.entry(id.clone()).or_default().push(line);
            }
            by_id
        })
    }

    /// The lines that a void takes back.
    fn targets(&self, target: &Target) -> Vec<usize> {
        match target {
            Target::Line(line) => vec![*line],
            Target::Id(id) => self.by_id().get(id).cloned().unwrap_or_default(),
        }
    }

    /// Works out which voids count, what they take back and which notes are alike, whatever
    /// the order of the lines. Gives the lines taken back, each with the void that does it.
    fn settle(&mut self) -> HashMap<usize, usize> {
        let targets: Vec<Vec<usize>> = self.voids.iter().map(|void| self.targets(&void.target)).collect();
        let counts = self.which_count(&targets);
        let mut taken_back: HashMap<usize, usize> = HashMap::new();
        for ((void, counts), targets) in self.voids.iter_mut().zip(counts).zip(&targets) {
            void.counts = counts;
            void.of = targets.first().copied().unwrap_or(0);
            for line in targets.iter().filter(|_| counts) {
                taken_back.insert(*line, void.line);
            }
        }
        let mut seen: HashMap<u64, usize> = HashMap::with_capacity(self.notes.len());
        for note in &mut self.notes {
            note.void = taken_back.get(&note.line).copied();
            note.twin = None;
            if note.void.is_none() {
                let first = *seen.entry(note.content).or_insert(note.line);
                note.twin = (first != note.line).then_some(first);
            }
        }
        taken_back
    }

    /// A void counts unless one that counts takes it back, or the numbered void that it stands
    /// for; a numbered one that has an id form counts by that.
    fn which_count(&self, targets: &[Vec<usize>]) -> Vec<bool> {
        let mut against: HashMap<usize, Vec<usize>> = HashMap::new();
        for (index, lines) in targets.iter().enumerate() {
            for line in lines {
                against.entry(*line).or_default().push(index);
            }
        }
        let stood_for: HashSet<&str> = self
            .voids
            .iter()
            .filter_map(|void| void.stands_for.as_deref())
            .collect();
        let lines_of = |void: &Void| {
            let also = void.stands_for.as_ref().and_then(|id| self.by_id().get(id));
            let mut lines = vec![void.line];
            lines.extend(also.into_iter().flatten());
            lines
        };
        let enemies: Vec<Vec<usize>> = self
            .voids
            .iter()
            .map(|void| {
                let lines = lines_of(void);
                let all = lines.iter().filter_map(|line| against.get(line)).flatten();
                all.copied().collect()
            })
            .collect();
        let mut known: Vec<Option<bool>> = self
            .voids
            .iter()
            .map(|void| stood_for.contains(void.id.as_str()).then_some(false))
            .collect();
        for start in 0..known.len() {
            let mut stack = vec![start];
            let mut begun: HashSet<usize> = HashSet::new();
            while let Some(index) = stack.last().copied() {
                // A ring of voids can only be forged: the first of it then counts.
                let open = enemies[index]
                    .iter()
                    .copied()
                    .find(|enemy| known[*enemy].is_none() && !begun.contains(enemy));
                begun.insert(index);
                match open {
                    Some(enemy) if known[index].is_none() => stack.push(enemy),
                    _ => {
                        let beaten = enemies[index].iter().any(|enemy| known_to_count(&known, *enemy));
                        known[index].get_or_insert(!beaten);
                        stack.pop();
                    }
                }
            }
        }
        known.into_iter().map(|counts| counts == Some(true)).collect()
    }

    /// The notebook with a further note, which gets the next line.
    pub fn push(&mut self, note: Note) -> usize {
        self.lines += 1;
        let note = Note {
            line: self.lines,
            ..note.named()
        };
        self.notes.push(note);
        self.by_id.take();
        self.settle();
        self.lines
    }

    /// The notebook with a further line that takes another back.
    pub fn push_void(&mut self, void: Void) -> usize {
        self.lines += 1;
        let void = Void {
            line: self.lines,
            id: void.own_id(),
            ..void
        };
        self.voids.push(void);
        self.by_id.take();
        let taken_back = self.settle();
        self.unread.retain(|line| !taken_back.contains_key(line));
        self.lines
    }

    /// The line of a number or an id, as typed.
    pub fn line_of(&self, text: &str) -> Option<usize> {
        let text = text.trim();
        if let Some(lines) = self.by_id().get(&text.to_lowercase()).filter(|_| looks_like_id(text)) {
            return lines.first().copied();
        }
        text.parse().ok().filter(|line| (1..=self.lines).contains(line))
    }

    /// The id of a line, whatever stands on it; `None` where nothing does.
    pub fn id_of(&self, line: usize) -> Option<&str> {
        let note = self.at(line).map(|note| note.id.as_str());
        let void = || {
            self.voids
                .iter()
                .find(|void| void.line == line)
                .map(|void| void.id.as_str())
        };
        note.or_else(void)
            .or_else(|| self.unread_ids.get(&line).map(String::as_str))
    }

    /// The note with the first copy number that no note alike has.
    pub fn copy_of(&self, note: &Note) -> Note {
        let mut number = 2;
        while self.by_id().contains_key(&note.copy(number).id) {
            number += 1;
        }
        note.copy(number)
    }

    /// These notes as they follow the last line, each alike with another as a copy of it.
    pub fn with_each<'a>(&self, notes: impl Iterator<Item = &'a Note>) -> Vec<Note> {
        let mut taken: HashSet<u64> = self.standing().map(|note| note.content).collect();
        let mut made = Vec::new();
        for (note, line) in notes.zip(self.lines + 1..) {
            let mut note = note.clone().named();
            let mut number = 2;
            while taken.contains(&note.content) {
                note = note.copy(number);
                number += 1;
            }
            taken.insert(note.content);
            made.push(Note { line, ..note });
        }
        made
    }

    /// A void that no line has yet: the same line may be taken back, be made to stand again and
    /// be taken back once more on one day.
    pub fn void_anew(&self, void: Void) -> Void {
        let text = void.text.clone().unwrap_or_else(|| "taken back".to_owned());
        let mut anew = void;
        let mut turn = 2;
        while self.by_id().contains_key(&anew.own_id()) {
            anew.text = Some(format!("{text} ({turn})"));
            turn += 1;
        }
        anew
    }

    /// A standing note with the same content.
    pub fn alike(&self, note: &Note) -> Option<&Note> {
        let content = note.likeness();
        self.standing().find(|known| known.content == content)
    }

    /// The note that stands for this one: itself, or its copy with a batch that an older Glost
    /// wrote in its place for a later look.
    pub fn follow(&self, line: usize) -> Option<&Note> {
        let note = self.at(line)?;
        if note.void.is_none() {
            return note.twin.map_or(Some(note), |first| self.at(first));
        }
        let unnamed = |note: &Note| Note {
            batch: None,
            ..note.clone()
        };
        let content = unnamed(note).content_id();
        self.standing()
            .find(|other| other.batch.is_some() && unnamed(other).content_id() == content)
    }

    /// Voids by the number of a line, as id forms to be written with whatever is written next:
    /// after a merge a number would mean another line. One whose line has a twin keeps its
    /// number, for the id is the twin's too.
    pub fn id_forms(&self) -> Vec<Void> {
        let stood_for: HashSet<&str> = self
            .voids
            .iter()
            .filter_map(|void| void.stands_for.as_deref())
            .collect();
        let numbered = self
            .voids
            .iter()
            .filter(|void| matches!(void.target, Target::Line(_)) && !stood_for.contains(void.id.as_str()));
        numbered
            .filter_map(|void| {
                let id = self.id_of(void.of)?;
                let alone = self.by_id().get(id).is_some_and(|lines| lines.len() == 1);
                alone.then(|| Void {
                    target: Target::Id(id.to_owned()),
                    stands_for: Some(void.id.clone()),
                    ..void.clone()
                })
            })
            .collect()
    }

    /// The line of the first of git's marks of a conflict, where a merge left them.
    pub fn conflict(&self) -> Option<usize> {
        self.conflict
    }

    /// Notes that are alike in all but their id with an earlier one, and count as that.
    pub fn twins(&self) -> impl Iterator<Item = &Note> {
        self.notes.iter().filter(|note| note.twin.is_some())
    }

    /// The notes that nobody has taken back, in the order of their lines; of several alike
    /// the first.
    pub fn standing(&self) -> impl Iterator<Item = &Note> {
        self.notes
            .iter()
            .filter(|note| note.void.is_none() && note.twin.is_none())
    }

    /// Those of them that nobody has taken back, to be kept without the rest of the notebook.
    pub fn into_standing(mut self) -> Vec<Note> {
        self.notes.retain(|note| note.void.is_none() && note.twin.is_none());
        self.notes
    }

    /// All of them, to be kept without the rest of the notebook.
    pub fn into_all(self) -> Vec<Note> {
        self.notes
    }

    /// Every note that could be read, taken back or not.
    pub fn all(&self) -> &[Note] {
        &self.notes
    }

    /// The note on a line, taken back or not.
    pub fn at(&self, line: usize) -> Option<&Note> {
        let index = self.notes.binary_search_by_key(&line, |note| note.line).ok()?;
        self.notes.get(index)
    }

    /// The lines that take others back.
    pub fn voids(&self) -> &[Void] {
        &self.voids
    }

    /// Lines that can't be read and that nobody has taken back.
    pub fn unread(&self) -> &[usize] {
        &self.unread
    }

    /// How many lines the file has; the next note stands on the line after.
    pub fn line_count(&self) -> usize {
        self.lines
    }
}

fn known_to_count(known: &[Option<bool>], index: usize) -> bool {
    known.get(index).copied().flatten() == Some(true)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOOK: &str = r#"{"on": "2026-10-25", "glaze": "Lamplight clear", "version": "v1", "clay": "buff stoneware", "firing": null, "cone": "6", "batch": 3, "tile": null, "age_days": 1, "pieces": 5, "crazed": 0, "shivered": 0, "grades": {"gloss": 4}, "kiln_shelf": "top"}
{"on": "2026-11-24", "glaze": "Lamplight clear", "batch": "3", "age_days": 30, "pieces": 5, "crazed": 2}
{"on": "2026-11-24", "void": 1, "text": "wrong clay"}
"#;

    fn read(text: &str) -> (Notes, Vec<Diagnostic>) {
        Notes::read(&Source::from_text("notes.jsonl", text))
    }

    fn standing(notes: &Notes) -> Vec<usize> {
        notes.standing().map(|note| note.line).collect()
    }

    #[test]
    fn notes_are_read_and_taken_back() {
        let (notes, complaints) = read(BOOK);
        assert_eq!(complaints, []);
        assert_eq!(standing(&notes), [2]);
        let first = notes.at(1).unwrap_or_else(|| panic!("no line 1"));
        assert_eq!((first.batch.as_deref(), first.cone.as_deref()), (Some("3"), Some("6")));
        assert_eq!((first.grade("Gloss"), first.void), (Some(4.0), Some(3)));
        assert_eq!(first.other, [("kiln_shelf".to_owned(), "top".into())]);
        assert_eq!(
            first.fired_on().map(|day| day.to_string()).as_deref(),
            Some("2026-10-24")
        );
        assert_eq!(notes.line_count(), 3);
    }

    #[test]
    fn a_void_can_be_taken_back_too() {
        let (notes, complaints) = read(&format!("{BOOK}{{\"on\": \"2026-11-25\", \"void\": 3}}\n"));
        assert_eq!((standing(&notes), complaints), (vec![1, 2], vec![]));
        assert_eq!(
            notes.voids().iter().map(|void| void.counts).collect::<Vec<_>>(),
            [false, true]
        );
    }

    #[test]
    fn what_is_written_reads_the_same() {
        let (notes, _) = read(BOOK);
        for note in notes.all() {
            let (again, complaints) = read(&note.to_line());
            assert_eq!(complaints, []);
            let expected = Note {
                line: 1,
                void: None,
                id: note.content_id(),
                ..note.clone()
            };
            assert_eq!(again.all(), [expected]);
        }
    }

    /// A notebook cut off after any byte: what was whole stays, and the next
    /// note stands on a line of its own.
    #[test]
    fn cut_off_anywhere_the_whole_lines_are_read() {
        let text = BOOK.replace("top", "tür");
        for cut in 0..text.len() {
            let torn = String::from_utf8_lossy(&text.as_bytes()[..cut]);
            let whole = torn.matches('\n').count();
            let (notes, complaints) = read(&torn);
            assert!(notes.all().len() + notes.voids().len() >= whole, "{cut}");
            assert!(complaints.len() <= 1, "{cut}: {complaints:?}");
            let (after, _) = read(&format!("{torn}\n{{\"on\": \"2026-11-26\", \"tile\": \"A1\"}}\n"));
            assert_eq!(
                after.all().last().and_then(|note| note.tile.as_deref()),
                Some("A1"),
                "{cut}"
            );
        }
    }

    /// Whatever happens to one line, the others are read as before.
    #[test]
    fn damage_to_one_line_stays_there() {
        let whole = read(BOOK).0;
        let mut random = 0x2545_F491_4F6C_DD1D_u64;
        let mut next = |below: usize| {
            random ^= random << 13;
            random ^= random >> 7;
            random ^= random << 17;
            (random % below as u64) as usize
        };
        for _ in 0..20_000 {
            let mut lines: Vec<Vec<u8>> = BOOK.lines().map(|line| line.as_bytes().to_vec()).collect();
            // The last line takes the first back: its damage would show in the first.
            let hit = next(2);
            for _ in 0..=next(4) {
                let length = lines[hit].len();
                let at = next(length);
                match next(3) {
                    0 => lines[hit][at] = next(256) as u8,
                    1 => lines[hit].truncate(at + 1),
                    _ => lines[hit].insert(at, b"{}[]\",:0e9"[next(10)]),
                }
            }
            lines[hit].retain(|byte| *byte != b'\n');
            let text = String::from_utf8_lossy(&lines.join(&b'\n')).into_owned();
            let (notes, _) = read(&text);
            let other = 2 - hit;
            assert_eq!(notes.at(other), whole.at(other), "{text}");
        }
    }

    #[test]
    fn a_line_that_cannot_be_read_hides_no_other_and_can_be_set_aside() {
        let text = "{\"on\": \"2026-01-01\", \"glaze\": \"A\"\n\n{\"on\": \"2026-01-02\", \"glaze\": \"A\"}\n";
        let (notes, complaints) = read(text);
        assert_eq!((notes.unread(), standing(&notes)), (&[1][..], vec![3]));
        assert_eq!(
            complaints.iter().map(|complaint| complaint.code).collect::<Vec<_>>(),
            ["cut-off"]
        );
        let (notes, complaints) = read(&format!("{text}{{\"void\": 1}}"));
        assert_eq!((notes.unread(), complaints.len()), (&[][..], 0));
    }

    #[test]
    fn each_slip_has_its_place() {
        let slip = |line: &str| {
            let (_, complaints) = read(line);
            let first = complaints
                .into_iter()
                .next()
                .unwrap_or_else(|| panic!("{line} was taken"));
            (first.code, first.place.map_or(0, |place| place.mark.column))
        };
        for (line, code, column) in [
            (r#"{"glaze": "A"}"#, "missing-key", 1),
            (r#"{"on": "2026-01-01"}"#, "missing-key", 1),
            (r#"{"on": "2026-02-30", "glaze": "A"}"#, "bad-date", 2),
            (r#"{"on": "2026-01-01", "glaze": 4}"#, "wrong-type", 22),
            (
                r#"{"on": "2026-01-01", "tile": "A", "pieces": 5, "crazed": 6}"#,
                "more-than-pieces",
                48,
            ),
            (r#"{"on": "2026-01-01", "tile": "A", "crazed": 6}"#, "no-pieces", 35),
            (r#"{"on": "2026-01-01", "tile": "A", "pieces": 2.5}"#, "wrong-type", 35),
            (
                r#"{"on": "2026-01-01", "tile": "A", "pieces": 1e300}"#,
                "out-of-range",
                35,
            ),
            (
                r#"{"on": "2026-01-01", "tile": "A", "age_days": -1}"#,
                "out-of-range",
                35,
            ),
            (
                r#"{"on": "2026-01-01", "tile": "A", "grades": {"gloss": 7}}"#,
                "bad-grade",
                46,
            ),
            (r#"{"on": "2026-01-01", "tile": "A", "crased": 1}"#, "unknown-key", 35),
            (r#"{"on": "2026-01-01", "tile": "A", "tile": "B"}"#, "not-json", 45),
            (r#"{"on": "2026-01-01", "void": 1}"#, "void-of-nothing", 22),
            (r#"[1, 2]"#, "not-json", 1),
            ("{\"on\": \"2026-01-01\", \"tile\": \"ü\u{0}\"}", "not-json", 32),
            ("\u{0}\u{0}\u{0}", "not-json", 1),
        ] {
            let (said, at) = slip(line);
            assert_eq!(said, code, "{line}");
            assert!(at.abs_diff(column) <= 1, "{line}: column {at}");
        }
        assert!(read(&"[".repeat(100_000)).1.len() == 1, "deep nesting is one complaint");
    }

    const CLONES: [&str; 2] = [
        r#"{"on": "2026-11-26", "glaze": "A", "clay": "buff", "pieces": 5, "crazed": 0}"#,
        r#"{"on": "2026-11-26", "glaze": "B", "clay": "buff", "pieces": 5, "crazed": 5}"#,
    ];

    /// Two clones each add a note, one takes its own back; whatever order a merge leaves, it is
    /// that note that is gone.
    #[test]
    fn voids_by_id_mean_the_same_line_in_any_order() {
        let first = r#"{"on": "2026-11-25", "glaze": "C", "clay": "buff", "pieces": 5, "crazed": 1}"#;
        let (one, _) = read(&format!("{first}\n{}\n", CLONES[0]));
        let void = Void::by_id(one.id_of(2).unwrap_or_else(|| panic!("line 2 has an id")), None, None);
        let all = [
            first.to_owned(),
            CLONES[0].to_owned(),
            CLONES[1].to_owned(),
            void.to_line(),
        ];
        for turn in 0..4 {
            let mut lines = all.clone();
            lines.rotate_left(turn);
            let (notes, complaints) = read(&lines.join("\n"));
            assert_eq!(complaints, []);
            let mut left: Vec<_> = notes.standing().filter_map(|note| note.glaze.clone()).collect();
            left.sort();
            assert_eq!(left, ["B", "C"], "turned by {turn}");
        }
    }

    #[test]
    fn a_numbered_void_gets_an_id_form_that_survives_a_merge() {
        let old = format!(
            "{}\n{}\n{{\"on\": \"2026-11-27\", \"void\": 2, \"text\": \"slip\"}}\n",
            CLONES[0], CLONES[1]
        );
        let (notes, _) = read(&old);
        assert_eq!(standing(&notes), [1]);
        let forms: Vec<String> = notes.id_forms().iter().map(Void::to_line).collect();
        assert_eq!(forms.len(), 1);
        // Another clone's line has come in before.
        let other = r#"{"on": "2026-11-20", "glaze": "D", "pieces": 5, "crazed": 0}"#;
        let (merged, _) = read(&format!("{other}\n{old}{}\n", forms[0]));
        let left: Vec<_> = merged.standing().filter_map(|note| note.glaze.as_deref()).collect();
        assert_eq!(left, ["D", "A"]);
        assert!(merged.id_forms().is_empty(), "once is enough");
        // Who takes the numbered void back takes its id form back.
        let id = merged.id_of(4).unwrap_or_else(|| panic!("line 4 has an id"));
        let back = Void::by_id(id, None, None).to_line();
        let (again, _) = read(&format!("{other}\n{old}{}\n{back}\n", forms[0]));
        assert_eq!(again.standing().count(), 3);
    }

    #[test]
    fn notes_alike_are_one_and_the_id_doesn_t_part_them() {
        let named = read(CLONES[0]).0.all()[0].to_line();
        assert!(named.contains("\"id\":"), "{named}");
        let (notes, _) = read(&format!(
            "{}\n{named}\n{}\n",
            CLONES[0],
            CLONES[0].replace("}", ", \"copy\": 2}")
        ));
        assert_eq!(standing(&notes), [1, 3]);
        assert_eq!(notes.twins().map(|note| note.line).collect::<Vec<_>>(), [2]);
        // The first taken back by its number alone: its twin stands.
        let (notes, _) = read(&format!("{}\n{named}\n{{\"void\": 1}}\n", CLONES[0]));
        assert_eq!(standing(&notes), [2]);
    }

    #[test]
    fn conflict_marks_are_named() {
        let text = format!("<<<<<<< HEAD\n{}\n=======\n{}\n>>>>>>> other\n", CLONES[0], CLONES[1]);
        let (notes, complaints) = read(&text);
        assert_eq!((notes.conflict(), standing(&notes)), (Some(1), vec![2, 4]));
        assert!(
            complaints.iter().all(|complaint| complaint.code == "conflict-mark"),
            "{complaints:?}"
        );
        assert_eq!(complaints.len(), 3);
    }
}
