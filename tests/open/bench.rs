//! A bench that is open for one test, and a browser that sends exactly what it is told.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use serde_json::Value;
use tempfile::TempDir;

/// The day on which all of it happens.
pub(crate) const TODAY: &str = "2026-11-24";

/// An open bench; closed when the test ends.
pub(crate) struct Bench {
    _folder: TempDir,
    pub(crate) studio: PathBuf,
    child: Child,
    further: Vec<&'static str>,
    pub(crate) host: String,
    pub(crate) once: String,
    pub(crate) cookie: String,
}

/// An answer as it came.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (own, value) = line.split_once(": ")?;
            own.eq_ignore_ascii_case(name).then_some(value)
        })
    }
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let to = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &to);
        } else {
            fs::copy(entry.path(), to).unwrap();
        }
    }
}

fn glost(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_glost"));
    command
        .current_dir(folder)
        .env("XDG_STATE_HOME", folder.with_file_name("state"))
        .env("GLOST_TODAY", TODAY)
        .env_remove("COLUMNS");
    command
}

impl Bench {
    /// Of a copy of the example studio.
    pub(crate) fn of_the_example() -> Bench {
        let folder = tempfile::tempdir().unwrap();
        let studio = folder.path().join("studio");
        let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../studio/example");
        copy(&example, &studio);
        Bench::of(folder, studio)
    }

    /// Of a folder with nothing in it.
    pub(crate) fn of_nothing() -> Bench {
        let folder = tempfile::tempdir().unwrap();
        let studio = folder.path().join("studio");
        fs::create_dir(&studio).unwrap();
        Bench::of(folder, studio)
    }

    /// Of a copy of the example studio, with phones and a class coming in at the same
    /// machine under another of its addresses.
    pub(crate) fn with_phones() -> Bench {
        let folder = tempfile::tempdir().unwrap();
        let studio = folder.path().join("studio");
        copy(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join("../studio/example"),
            &studio,
        );
        let mut bench = Bench::of(folder, studio);
        bench.further = vec!["--phone", "127.0.0.2", "--class"];
        bench.again();
        bench
    }

    fn of(folder: TempDir, studio: PathBuf) -> Bench {
        let (child, host, once) = open(&studio, &[]);
        let mut bench = Bench {
            _folder: folder,
            studio,
            child,
            further: Vec::new(),
            host,
            once,
            cookie: String::new(),
        };
        bench.come_in();
        bench
    }

    fn come_in(&mut self) {
        let once = self.once.clone();
        let head = self.raw(&format!("HEAD /?once={once} HTTP/1.1\r\nHost: {}\r\n", self.host), "");
        assert_eq!((head.status, head.header("set-cookie")), (200, None));
        let came = self.raw(&format!("GET /?once={once} HTTP/1.1\r\nHost: {}\r\n", self.host), "");
        assert_eq!(came.status, 200, "{}", came.body);
        let cookie = came.header("set-cookie").unwrap();
        assert!(cookie.contains("; HttpOnly; SameSite=Strict"), "{cookie}");
        self.cookie = cookie.split(';').next().unwrap().to_owned();
    }

    /// Ends it as a closed terminal does, and opens it again.
    pub(crate) fn again(&mut self) {
        // Ended already, in some tests.
        let _ = self.child.kill();
        self.child.wait().unwrap();
        (self.child, self.host, self.once) = open(&self.studio, &self.further);
        self.come_in();
    }

    #[allow(clippy::disallowed_methods, reason = "any moment will do: nothing waits for it")]
    /// Kills it after so many thousandths of a second.
    pub(crate) fn kill_after(&self, milliseconds: u64) {
        thread::sleep(Duration::from_millis(milliseconds));
        let killed = Command::new("kill").args(["-9", &self.child.id().to_string()]).status();
        assert!(killed.unwrap().success());
    }

    /// The process behind it.
    pub(crate) fn process(&mut self) -> &mut Child {
        &mut self.child
    }

    /// Sends a head as it is (without the blank line at its end) and a body.
    pub(crate) fn raw(&self, head: &str, body: &str) -> Answer {
        self.raw_to(&self.host, head, body)
    }

    /// As [`Bench::raw`], to another address.
    #[allow(clippy::unused_self, reason = "the bench must be open")]
    pub(crate) fn raw_to(&self, host: &str, head: &str, body: &str) -> Answer {
        let Ok(mut stream) = TcpStream::connect(host) else {
            return Answer {
                status: 0,
                head: String::new(),
                body: String::new(),
            };
        };
        // A head that is refused may be answered before the body is through.
        let _ = stream.write_all(format!("{head}Connection: close\r\n\r\n{body}").as_bytes());
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        let answer = String::from_utf8(answer).unwrap();
        let (head, body) = answer.split_once("\r\n\r\n").unwrap_or((&answer, ""));
        let status = head.split_whitespace().nth(1).and_then(|status| status.parse().ok());
        Answer {
            status: status.unwrap_or(0),
            head: head.to_owned(),
            body: body.to_owned(),
        }
    }

    /// The same bench as a phone sees it that came in by a secret.
    pub(crate) fn paired(&self, way_in: &str) -> (String, String) {
        let host = format!("127.0.0.2:{}", self.host.rsplit(':').next().unwrap());
        let once = way_in.split_once("?once=").unwrap().1;
        let came = self.raw_to(&host, &format!("GET /?once={once} HTTP/1.1\r\nHost: {host}\r\n"), "");
        assert_eq!(came.status, 200, "{}", came.body);
        let cookie = came.header("set-cookie").unwrap().split(';').next().unwrap().to_owned();
        (host, cookie)
    }

    /// Gets a page with the cookie.
    pub(crate) fn get(&self, path: &str) -> Answer {
        let head = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\n",
            self.host, self.cookie
        );
        self.raw(&head, "")
    }

    /// Asks a command as a program does.
    pub(crate) fn ask(&self, command: &str, body: &Value) -> Answer {
        self.post(
            &format!("/api/{command}"),
            "application/json",
            "X-Glost: 1\r\n",
            &body.to_string(),
        )
    }

    /// Sends a body with the cookie.
    pub(crate) fn post(&self, path: &str, kind: &str, further: &str, body: &str) -> Answer {
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n{further}",
            self.host,
            self.cookie,
            body.len()
        );
        self.raw(&head, body)
    }

    /// The same call at a terminal: its exit code and what it prints.
    pub(crate) fn at_the_terminal(&self, arguments: &[&str]) -> (i32, String) {
        let ran = glost(&self.studio)
            .args(arguments)
            .args(["--format", "json"])
            .stdin(Stdio::null())
            .output()
            .unwrap();
        (ran.status.code().unwrap(), String::from_utf8(ran.stdout).unwrap())
    }
}

fn open(studio: &Path, further: &[&str]) -> (Child, String, String) {
    let mut child = glost(studio)
        .args(["open", "--no-browser", "--format", "json", "--until-stdin"])
        .args(further)
        .stderr(Stdio::null())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::new(child.stdout.as_mut().unwrap())
        .read_line(&mut line)
        .unwrap();
    let told: Value = serde_json::from_str(&line).unwrap_or_else(|_| panic!("no address: {line}"));
    let address = told["address"].as_str().unwrap();
    let host = address.trim_start_matches("http://").trim_end_matches('/').to_owned();
    let once = told["open"]
        .as_str()
        .unwrap()
        .split_once("?once=")
        .unwrap()
        .1
        .to_owned();
    (child, host, once)
}

impl Drop for Bench {
    fn drop(&mut self) {
        // Ended already, in some tests.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
