//! What is opened and never closed, and what closes nothing: told where it stands, by how
//! lines are indented, and set right, so that the parser sees whole functions.

use glost_chemistry::diagnostic::{Diagnostic, Mark, Source};

use crate::editing::tokens::Token;
use crate::glance;

use super::patched::Patched;
use super::quotes::{Stumbles, open_quotes};

/// Words that open what stands at the top.
pub(super) const AT_THE_TOP: [&str; 5] = ["fn", "const", "import", "function", "def"];
/// The most faults of brackets and quotes that are set right.
pub(super) const MOST_FAULTS: usize = 10;
/// Words whose `{` may be missing.
pub(super) const HEADS: [&str; 9] = ["fn", "if", "else", "for", "while", "loop", "switch", "try", "catch"];

/// Sets a text's brackets right, and tells what was wrong with them.
pub(super) fn faults(text: &mut Patched, source: &Source, stumbles: Stumbles<'_>) -> Vec<Diagnostic> {
    let comment = open_comment(text, source);
    // What a comment swallows can't close anything.
    let swallowed = comment
        .as_ref()
        .and_then(|fault| fault.place.as_ref())
        .map(|place| place.mark);
    let mut found: Vec<Diagnostic> = comment.into_iter().collect();
    found.extend(open_quotes(text, source, stumbles));
    found.extend(halves_of_nothing(text, source));
    // Each fault that is set right may have hidden the next one.
    for _ in 0..MOST_FAULTS {
        let Some(fault) = next_fault(text) else { break };
        let of_the_comment = match (&fault, swallowed) {
            (Fault::Open(_, at), Some(mark)) => {
                text.tokens().last().is_some_and(|last| *at >= last.from && *at <= mark)
            }
            _ => false,
        };
        if !of_the_comment {
            found.push(fault.told(source));
        }
        fault.mend(text);
    }
    found
}

fn open_comment(text: &mut Patched, source: &Source) -> Option<Diagnostic> {
    let mark = glance::open_comment(source)?;
    text.blank(mark, text.end());
    Some(never_closed_comment(source, mark))
}

/// The complaint about a comment without an end.
pub(crate) fn never_closed_comment(source: &Source, mark: Mark) -> Diagnostic {
    let fault = Diagnostic::error("script-syntax", "this comment is never closed");
    fault.help("end it with `*/`").at(source, mark, 2)
}

/// `(` of a `()` whose other half is missing: what comes next can't stand in brackets.
fn halves_of_nothing(text: &mut Patched, source: &Source) -> Vec<Diagnostic> {
    let all = text.tokens();
    let count = |sign: char| all.iter().filter(|token| token.is(sign)).count();
    if count('(') <= count(')') {
        return Vec::new();
    }
    let halves: Vec<&Token> = all
        .windows(2)
        .filter(|pair| pair[0].is('(') && [';', ',', '{', '}', ']', '&'].iter().any(|sign| pair[1].is(*sign)))
        .map(|pair| &pair[0])
        .collect();
    for half in halves.iter().rev() {
        text.put(half.to, ")");
    }
    let told = halves.iter().map(|half| {
        let fault = Diagnostic::error("script-syntax", "`)` is missing after this");
        fault
            .help("each bracket that is opened is closed")
            .at(source, half.from, 1)
    });
    told.collect()
}

pub(super) fn net_of(token: &Token) -> isize {
    match token.sign() {
        Some('(' | '[' | '{') => 1,
        Some(')' | ']' | '}') => -1,
        _ => 0,
    }
}

/// What is wrong with a bracket, and how it is set right.
enum Fault {
    /// A `{` at the first place without its `}`, which is put in at the second.
    Open(Mark, Mark),
    /// A `{` that is missing at a place.
    NotOpened(Mark),
    /// A bracket that closes nothing.
    Closes(Mark),
}

impl Fault {
    fn told(&self, source: &Source) -> Diagnostic {
        let fault = |message: &str| Diagnostic::error("script-syntax", message);
        match self {
            Fault::Open(mark, _) => fault("this `{` is never closed")
                .help("a `}` is missing")
                .at(source, *mark, 1),
            Fault::NotOpened(mark) => fault("`{` is missing here")
                .help("what is done stands in `{` and `}`")
                .at(source, *mark, 1),
            Fault::Closes(mark) => fault("this closes nothing: one bracket too many")
                .help("take it out, or look for the `{` that is missing above")
                .at(source, *mark, 1),
        }
    }

    fn mend(&self, text: &mut Patched) {
        match self {
            Fault::Open(_, at) => text.put(*at, " }"),
            Fault::NotOpened(at) => text.put(*at, " {"),
            Fault::Closes(at) => {
                let to = Mark {
                    column: at.column + 1,
                    ..*at
                };
                text.blank(*at, to);
            }
        }
    }
}

/// An opened bracket.
struct Opened {
    index: usize,
    sign: char,
}

/// The brackets of a text that are open at a place of it.
struct Brackets<'a> {
    all: &'a [Token],
    open: Vec<Opened>,
    /// One `}` inside a line that closes what stands further left than its line: the one too
    /// many, where there is one.
    doubted: Option<Mark>,
}

fn next_fault(text: &Patched) -> Option<Fault> {
    let all = text.tokens();
    let mut brackets = Brackets {
        all: &all,
        open: Vec::new(),
        doubted: None,
    };
    if brackets.are_right() {
        return None;
    }
    brackets.open.clear();
    brackets.doubted = None;
    (0..all.len())
        .find_map(|index| brackets.fault_at(index))
        .or_else(|| brackets.left_open(all.len()))
}

impl Brackets<'_> {
    fn indent(&self, index: usize) -> usize {
        self.first_of_line(index).from.column
    }

    fn first_of_line(&self, index: usize) -> &Token {
        let line = self.all[index].from.line;
        let first = (0..=index)
            .rev()
            .take_while(|at| self.all[*at].from.line == line)
            .last();
        &self.all[first.unwrap_or(index)]
    }

    fn is_first(&self, index: usize) -> bool {
        self.first_of_line(index).from == self.all[index].from
    }

    /// Whether `{` and `}` go together, each function by itself.
    fn are_right(&mut self) -> bool {
        for index in 0..self.all.len() {
            if self.at_the_top(index) && self.curly().is_some() {
                return false;
            }
            let closes_wrong = match self.all[index].sign() {
                Some(sign @ ('{' | '(' | '[')) => {
                    self.opens(index, sign);
                    false
                }
                Some('}') => self.close_curly().is_none(),
                Some(sign @ (')' | ']')) => self.crosses(sign),
                _ => false,
            };
            if closes_wrong {
                return false;
            }
        }
        self.curly().is_none()
    }

    fn at_the_top(&self, index: usize) -> bool {
        let token = &self.all[index];
        token.from.column == 1 && AT_THE_TOP.iter().any(|word| token.is_word(word))
    }

    fn opens(&mut self, index: usize, sign: char) {
        // `fn f(a {`: a body's `{` never stands in brackets.
        let is_of_a_function = |opened: &Opened| {
            let head = opened.index.checked_sub(2).map(|at| &self.all[at]);
            opened.sign == '(' && head.is_some_and(|head| AT_THE_TOP.iter().any(|word| head.is_word(word)))
        };
        if sign == '{' && self.open.last().is_some_and(is_of_a_function) {
            self.open.pop();
        }
        self.open.push(Opened { index, sign });
    }

    /// The innermost open `{`, by its place among the open ones.
    fn curly(&self) -> Option<usize> {
        self.open.iter().rposition(|opened| opened.sign == '{')
    }

    fn close_curly(&mut self) -> Option<Opened> {
        let at = self.curly()?;
        self.open.truncate(at + 1);
        self.open.pop()
    }

    /// Closes a round or square bracket; whether it would cross a `{` that is still open.
    fn crosses(&mut self, sign: char) -> bool {
        let wanted = if sign == ')' { '(' } else { '[' };
        let curly = self.curly().map_or(0, |at| at + 1);
        match self.open[curly..].iter().rposition(|opened| opened.sign == wanted) {
            Some(at) => {
                self.open.truncate(curly + at);
                false
            }
            None => self.open[..curly].iter().any(|opened| opened.sign == wanted),
        }
    }

    /// The end of the piece before an index.
    fn end_before(&self, index: usize) -> Mark {
        self.all[index.saturating_sub(1)].to
    }

    /// The innermost `{` as never closed, its `}` put in before an index.
    fn left_open(&self, index: usize) -> Option<Fault> {
        let opened = &self.open[self.curly()?];
        let before = index.checked_sub(1)?;
        Some(Fault::Open(self.all[opened.index].from, self.all[before].to))
    }

    fn fault_at(&mut self, index: usize) -> Option<Fault> {
        if self.at_the_top(index) {
            if self.curly().is_some() {
                return self.left_open(index);
            }
            self.doubted = None;
        }
        match self.all[index].sign()? {
            sign @ ('{' | '(' | '[') => self.opens(index, sign),
            '}' => return self.fault_of_close(index),
            sign @ (')' | ']') if self.crosses(sign) => return self.left_open(index),
            _ => {}
        }
        None
    }

    fn fault_of_close(&mut self, index: usize) -> Option<Fault> {
        let own = self.indent(index);
        if let Some(at) = self.curly().filter(|_| self.is_first(index)) {
            let opener = self.open[at].index;
            let of_opener = self.indent(opener);
            let on_another_line = self.all[opener].from.line != self.all[index].from.line;
            let below = self.open[..at]
                .iter()
                .any(|opened| opened.sign == '{' && self.indent(opened.index) == own);
            if on_another_line && of_opener > own && below {
                return self.left_open(index);
            }
            if on_another_line
                && of_opener < own
                && let Some(fault) = self.not_opened(index, own)
            {
                return Some(fault);
            }
        }
        match self.close_curly() {
            Some(closed) => {
                let line = self.all[closed.index].from.line;
                let is_block = self.all.get(closed.index + 1).is_some_and(|next| next.from.line > line);
                if is_block && !self.is_first(index) && self.indent(closed.index) < own {
                    self.doubted.get_or_insert(self.all[index].from);
                }
                None
            }
            None => self
                .not_opened(index, own)
                .or_else(|| self.headless(index))
                .or_else(|| {
                    let doubted = self.doubted.filter(|_| self.is_first(index));
                    let mark = doubted.unwrap_or(self.all[index].from);
                    Some(Fault::Closes(mark))
                }),
        }
    }

    /// A line of the same function that heads a block, as the next line's indent tells, and
    /// has no `{`.
    fn headless(&self, index: usize) -> Option<Fault> {
        let begins = (0..index).rev().find(|at| self.at_the_top(*at))?;
        let firsts: Vec<usize> = (begins..index).filter(|at| self.is_first(*at)).collect();
        let pair = firsts.windows(2).find(|pair| {
            let (line, next) = (&self.all[pair[0]..pair[1]], &self.all[pair[1]]);
            let open = line
                .iter()
                .filter(|token| token.is('{') || token.is('}'))
                .map(net_of)
                .sum::<isize>();
            let head = HEADS.iter().any(|word| line[0].is_word(word));
            let ends = line.last().is_some_and(|last| last.is(';') || last.is('{'));
            head && open == 0 && !ends && next.from.column > line[0].from.column
        })?;
        Some(Fault::NotOpened(self.end_before(pair[1])))
    }

    /// The head of a block at the same indent whose `{` is missing.
    fn not_opened(&self, index: usize, indent: usize) -> Option<Fault> {
        let from = self.curly().map_or(0, |at| self.open[at].index);
        let mut heads = (from..index).rev().filter(|at| {
            self.all[*at].from.column == indent
                && self.is_first(*at)
                && self.all[*at].from.line < self.all[index].from.line
        });
        let head = heads.next()?;
        let line = self.all[head].from.line;
        let last = (head..index).take_while(|at| self.all[*at].from.line == line).last()?;
        let own = &self.all[head..=last];
        let has_head = own.iter().any(|token| HEADS.iter().any(|word| token.is_word(word)));
        let inside = own.iter().skip_while(|token| token.is('}'));
        let open = inside
            .filter(|token| token.is('{') || token.is('}'))
            .map(net_of)
            .sum::<isize>();
        (has_head && open <= 0).then(|| Fault::NotOpened(self.end_before(last + 1)))
    }
}
