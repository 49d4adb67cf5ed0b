//! Phones that were paired: by a secret on the screen that works once and for ten
//! minutes; known again for 90 days by the hash of their cookie, kept outside the folder.

use std::net::SocketAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use serde::{Deserialize, Serialize};

use super::secrets::{same, secret};
use super::visitor::Visitor;
use crate::keeping::{Keeping, hex};

/// The file that they are kept in.
const FILE: &str = "phones.json";
/// How long a secret on the screen works.
const PAIRED_WITHIN: Duration = Duration::from_secs(10 * 60);
/// How long a phone, and how long one of a class, is known, in seconds.
const PHONE_SECONDS: u64 = 90 * 24 * 3600;
const CLASS_SECONDS: u64 = 12 * 3600;
/// More than a class has.
const MOST: usize = 100;

/// One that was paired.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) struct Known {
    /// SHA-256 of its cookie.
    hash: String,
    /// Who it is.
    pub(crate) visitor: Visitor,
    /// When it was paired, in seconds since 1970.
    pub(crate) since: u64,
}

impl Known {
    /// A name for it that tells nothing.
    pub(crate) fn name(&self) -> &str {
        &self.hash[..8]
    }

    /// The day it was paired, by the clock of Greenwich.
    pub(crate) fn since_day(&self) -> Option<Date> {
        let days = (self.since / (24 * 3600)).cast_signed();
        Date::new(1970, 1, 1).map(|first| first.plus_days(days))
    }

    fn holds(&self, now: u64) -> bool {
        now.saturating_sub(self.since) < lasts(self.visitor)
    }
}

fn lasts(visitor: Visitor) -> u64 {
    match visitor {
        Visitor::Class => CLASS_SECONDS,
        Visitor::Phone | Visitor::Owner => PHONE_SECONDS,
    }
}

/// The door for phones.
#[derive(Debug)]
pub(crate) struct Phones {
    /// Where they come in.
    pub(crate) address: SocketAddr,
    keeping: Keeping,
    /// The secret on the screen, and since when.
    pairing: Mutex<Option<(String, Instant)>>,
    /// The secret of a class, while the bench is open.
    class: Option<String>,
    known: Mutex<Vec<Known>>,
}

impl Phones {
    pub(crate) fn new(address: SocketAddr, keeping: Keeping, with_class: bool) -> Result<Phones, Diagnostic> {
        // A list that can't be read is none: phones are paired again.
        let known = keeping.kept(FILE).and_then(|kept| serde_json::from_slice(&kept).ok());
        Ok(Phones {
            address,
            keeping,
            pairing: Mutex::new(None),
            class: with_class.then(secret).transpose()?,
            known: Mutex::new(known.unwrap_or_default()),
        })
    }

    fn known(&self) -> MutexGuard<'_, Vec<Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The way in for a phone: the secret that is on the screen, renewed when it was
    /// spent or has run out.
    pub(crate) fn way_in(&self) -> Result<String, Diagnostic> {
        let mut pairing = self.pairing.lock().unwrap_or_else(PoisonError::into_inner);
        // Half its time is left to whoever walks over with a phone.
        let fresh = pairing.take().filter(|(_, since)| since.elapsed() < PAIRED_WITHIN / 2);
        let (said, since) = match fresh {
            Some(fresh) => fresh,
            None => (secret()?, Instant::now()),
        };
        *pairing = Some((said.clone(), since));
        Ok(self.with(&said))
    }

    /// The way in for a class, where there is one.
    pub(crate) fn class_way_in(&self) -> Option<String> {
        self.class.as_ref().map(|class| self.with(class))
    }

    fn with(&self, secret: &str) -> String {
        format!("http://{}/?once={secret}", self.address)
    }

    /// Whose secret this is.
    pub(crate) fn whose(&self, said: &str) -> Option<Visitor> {
        if self.class.as_ref().is_some_and(|class| same(class, said)) {
            return Some(Visitor::Class);
        }
        let pairing = self.pairing.lock().unwrap_or_else(PoisonError::into_inner);
        let (secret, since) = pairing.as_ref()?;
        (same(secret, said) && since.elapsed() < PAIRED_WITHIN).then_some(Visitor::Phone)
    }

    /// Pairs whoever has the secret, and gives a cookie with its time in seconds.
    pub(crate) fn pair(&self, said: &str) -> Option<(String, u64)> {
        let visitor = self.whose(said)?;
        if visitor == Visitor::Phone {
            let mut pairing = self.pairing.lock().unwrap_or_else(PoisonError::into_inner);
            pairing.take().filter(|(secret, _)| same(secret, said))?;
        }
        let cookie = secret().ok()?;
        let mut known = self.known();
        let now = now();
        known.retain(|known| known.holds(now));
        known.insert(
            0,
            Known {
                hash: hex(cookie.as_bytes()),
                visitor,
                since: now,
            },
        );
        known.truncate(MOST);
        self.keep(&known).ok()?;
        Some((cookie, lasts(visitor)))
    }

    /// Whose cookie this is.
    pub(crate) fn of_cookie(&self, cookie: &str) -> Option<Visitor> {
        let (hash, now) = (hex(cookie.as_bytes()), now());
        let known = self.known();
        let found = known.iter().find(|known| same(&known.hash, &hash) && known.holds(now));
        found.map(|known| known.visitor)
    }

    /// All that are known.
    pub(crate) fn all(&self) -> Vec<Known> {
        let now = now();
        self.known().iter().filter(|known| known.holds(now)).cloned().collect()
    }

    /// Forgets one by its name.
    pub(crate) fn forget(&self, name: &str) -> Result<(), Diagnostic> {
        let mut known = self.known();
        known.retain(|known| known.name() != name);
        self.keep(&known)
    }

    fn keep(&self, known: &[Known]) -> Result<(), Diagnostic> {
        let bytes = serde_json::to_vec(known)
            .map_err(|why| Diagnostic::error("not-kept", format!("phones can't be kept: {why}")))?;
        self.keeping.keep(FILE, &bytes)
    }
}

#[allow(
    clippy::disallowed_methods,
    reason = "no day that a user reads: how long a phone is known"
)]
fn now() -> u64 {
    // Before 1970 nobody is forgotten.
    SystemTime::now()
        .duration_since(UNIX_EPOCH)
        .map_or(0, |since| since.as_secs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn phones(folder: &std::path::Path) -> Phones {
        let address = "192.168.1.20:4567".parse().unwrap();
        Phones::new(address, Keeping::inside(folder), true).unwrap()
    }

    fn said(way_in: &str) -> &str {
        way_in.split_once("?once=").unwrap().1
    }

    #[test]
    fn a_phone_is_paired_once_and_known_after_a_restart_until_forgotten() {
        let folder = tempfile::tempdir().unwrap();
        let first = phones(folder.path());
        let way_in = first.way_in().unwrap();
        assert_eq!(first.way_in().unwrap(), way_in, "the same stays on the screen");
        assert_eq!(first.whose("no"), None);
        let (cookie, _) = first.pair(said(&way_in)).unwrap();
        assert_eq!(first.pair(said(&way_in)), None, "once");
        assert_ne!(first.way_in().unwrap(), way_in);
        let again = phones(folder.path());
        assert_eq!(again.of_cookie(&cookie), Some(Visitor::Phone));
        assert_eq!(again.of_cookie("no"), None);
        let name = again.all()[0].name().to_owned();
        again.forget(&name).unwrap();
        assert_eq!(again.of_cookie(&cookie), None);
    }

    #[test]
    fn a_class_comes_in_by_one_code() {
        let folder = tempfile::tempdir().unwrap();
        let phones = phones(folder.path());
        let way_in = phones.class_way_in().unwrap();
        for _ in 0..8 {
            let (cookie, seconds) = phones.pair(said(&way_in)).unwrap();
            assert_eq!(
                (phones.of_cookie(&cookie), seconds),
                (Some(Visitor::Class), CLASS_SECONDS)
            );
        }
    }
}
