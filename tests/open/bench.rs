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
    _folder: Option<TempDir>,
    pub(crate) studio: PathBuf,
    child: Child,
    pub(crate) opened: Opened,
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
    as_in_tests(&mut command, folder);
    command
}

fn as_in_tests(command: &mut Command, folder: &Path) {
    command
        .current_dir(folder)
        .env("XDG_STATE_HOME", folder.with_file_name("state"))
        .env("HOME", folder.with_file_name("home"))
        .env_remove("XDG_CONFIG_HOME")
        .env_remove("XDG_DATA_HOME")
        .env("GLOST_TODAY", TODAY)
        .env_remove("COLUMNS");
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
        bench.opened.options = ["--phone", "127.0.0.2", "--class"].map(str::to_owned).to_vec();
        bench.again();
        bench
    }

    fn of(folder: TempDir, studio: PathBuf) -> Bench {
        Bench::opened(Some(folder), studio, Opened::default())
    }

    fn opened(folder: Option<TempDir>, studio: PathBuf, opened: Opened) -> Bench {
        let (child, host, once) = opened.open(&studio);
        let mut bench = Bench {
            _folder: folder,
            studio,
            child,
            opened,
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

    /// The same studio opened once more beside this one, in another way.
    pub(crate) fn beside(&self, opened: Opened) -> Bench {
        Bench::opened(None, self.studio.clone(), opened)
    }

    /// A port that is free.
    pub(crate) fn free_port() -> String {
        let free = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
        free.local_addr().unwrap().port().to_string()
    }

    /// Ends it as a closed terminal does, and opens it again.
    pub(crate) fn again(&mut self) {
        // Ended already, in some tests.
        let _ = self.child.kill();
        self.child.wait().unwrap();
        (self.child, self.host, self.once) = self.opened.open(&self.studio);
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
        self.bytes_to(host, head, body.as_bytes())
    }

    /// As [`Bench::raw_to`], whatever the body is.
    #[allow(clippy::unused_self, reason = "the bench must be open")]
    pub(crate) fn bytes_to(&self, host: &str, head: &str, body: &[u8]) -> Answer {
        let Ok(mut stream) = TcpStream::connect(host) else {
            return Answer {
                status: 0,
                head: String::new(),
                body: String::new(),
            };
        };
        // A head that is refused may be answered before the body is through.
        let head = format!("{head}Connection: close\r\n\r\n");
        let _ = stream.write_all(&[head.as_bytes(), body].concat());
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

/// How a bench is opened.
#[derive(Debug, Clone, Default)]
pub(crate) struct Opened {
    /// Further options.
    pub(crate) options: Vec<String>,
    /// At which moment of the disk each of its answers dies.
    pub(crate) dies_at: Option<u64>,
    /// How many blocks of 512 bytes a file may hold, as where a disk is full.
    pub(crate) blocks: Option<u64>,
}

impl Opened {
    /// The program with a limit on the files that it writes: a write beyond is an error,
    /// not a signal.
    fn limited(&self, studio: &Path) -> Command {
        let Some(blocks) = self.blocks else {
            return glost(studio);
        };
        let mut shell = Command::new("sh");
        shell
            .args(["-c", &format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"")])
            .arg(env!("CARGO_BIN_EXE_glost"));
        as_in_tests(&mut shell, studio);
        shell
    }

    fn open(&self, studio: &Path) -> (Child, String, String) {
        let mut command = self.limited(studio);
        if let Some(at) = self.dies_at {
            command.env("GLOST_STOP_AT_DISK_MOMENT", at.to_string());
        }
        let options = ["open", "--no-browser", "--format", "json", "--until-stdin"];
        opened(command.args(options).args(&self.options))
    }
}

fn opened(command: &mut Command) -> (Child, String, String) {
    let mut child = command
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

/// The token in a page's forms.
pub(crate) fn token(page: &str) -> String {
    let rest = page.split("name=\"token\" value=\"").nth(1).unwrap();
    rest.split('"').next().unwrap().to_owned()
}

/// Sends a form as the page `from` would; the same form has the same id.
pub(crate) fn sent(bench: &Bench, path: &str, from: &str, said: &str) -> Answer {
    let token = token(&bench.get(from).body);
    let body = format!("token={token}&request=r-{}&{said}", path.len() + said.len());
    bench.post(path, "application/x-www-form-urlencoded", "", &body)
}
