//! Listening, connection by connection, until somebody ends it.

use std::convert::Infallible;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use axum::http::Request;
use axum::response::{IntoResponse, Response};
use glost_chemistry::diagnostic::Diagnostic;
use hyper::body::Incoming;
use hyper::service::{Service, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Notify, Semaphore};

use crate::api::Caller;
use crate::command::{Command, Program};
use crate::door::{Hosts, Locks, Once, Passed, Phones, Tokens, Visitor, Ways, Whose, secret, with_headers};
use crate::keeping::Keeping;
use crate::pages::{self, Bench};

/// Connections held at a time; others wait.
const MOST_CONNECTIONS: usize = 64;
/// How long a head may take to come, the wait for the next one included.
const HEAD_WITHIN: Duration = Duration::from_secs(10);
/// What is at work may take so long to end once the bench is closed.
const LAST_WORDS: Duration = Duration::from_millis(300);

/// What the bench is opened with.
#[derive(Debug)]
pub struct Opening {
    /// The studio's folder, or where it will be.
    pub folder: PathBuf,
    /// The program that answers, called as at a terminal.
    pub program: Program,
    /// What it can be asked.
    pub commands: Vec<Command>,
    /// The port, where one is said.
    pub port: Option<u16>,
    /// Ends, too, when the standard input does.
    pub until_stdin: bool,
    /// Whether phones of the local network come in, too.
    pub phones: Option<ForPhones>,
}

/// How phones come in.
#[derive(Debug, Clone, Copy)]
pub struct ForPhones {
    /// This machine's address in the local network; else the one it would send from.
    pub address: Option<IpAddr>,
    /// Whether a class does, too.
    pub with_class: bool,
}

/// Where it can be reached.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Addresses {
    /// Its address.
    pub address: String,
    /// The way in, once.
    pub open: String,
    /// Where phones come in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub phones: Option<String>,
}

/// Opens the bench and stays until it is ended; tells where it is as soon as it can
/// be reached.
///
/// # Errors
/// The port is taken, or nothing can be kept outside the folder.
pub fn open(
    opening: Opening,
    tell: impl FnOnce(&Addresses, &Keeping) -> Result<(), Diagnostic>,
) -> Result<(), Diagnostic> {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|why| Diagnostic::error("not-opened", format!("the bench can't be opened: {why}")))?;
    let ended = runtime.block_on(stay(opening, tell));
    // What still runs is left: whatever writes, writes so that it may be ended anywhere.
    runtime.shutdown_timeout(LAST_WORDS);
    ended
}

async fn stay(
    opening: Opening,
    tell: impl FnOnce(&Addresses, &Keeping) -> Result<(), Diagnostic>,
) -> Result<(), Diagnostic> {
    let keeping = Keeping::of(&opening.folder)?;
    let listener = listen(opening.port, &keeping).await?;
    let ours = listener.local_addr().map_err(|why| no_port(0, &why))?;
    let phones = match opening.phones {
        Some(asked) => Some(listen_for_phones(&asked, ours.port(), &keeping).await?),
        None => None,
    };
    let once = secret()?;
    let addresses = Addresses {
        address: format!("http://{ours}/"),
        open: format!("http://{ours}/?once={once}"),
        phones: phones.as_ref().map(|(_, phones)| format!("http://{}/", phones.address)),
    };
    let end = ended(opening.until_stdin)?;
    // A fault of the clock only keeps them longer.
    keeping.forget_old();
    let tokens = Arc::new(Tokens::new()?);
    let rooms = Rooms::of(opening, &keeping, &tokens, phones.as_ref().map(|(_, phones)| phones));
    let own = Locks {
        hosts: Hosts::of(ours),
        port: ours.port(),
        ways: Ways::Owner {
            once: Once::new(once),
            cookie: secret()?,
        },
        tokens: tokens.clone(),
    };
    tell(&addresses, &keeping)?;
    let places = Arc::new(Semaphore::new(MOST_CONNECTIONS));
    tokio::select! {
        () = accept(listener, Arc::new(own), rooms.clone(), places.clone()) => {}
        () = accept_phones(phones, tokens, rooms, places) => {}
        () = end.notified() => {}
    }
    keeping.forget_way_in();
    Ok(())
}

/// Phones, where there is a door for them.
async fn accept_phones(
    phones: Option<(TcpListener, Arc<Phones>)>,
    tokens: Arc<Tokens>,
    rooms: Rooms,
    places: Arc<Semaphore>,
) {
    match phones {
        Some((listener, phones)) => {
            let locks = Locks {
                hosts: Hosts::of(phones.address),
                port: phones.address.port(),
                ways: Ways::Phones(phones),
                tokens,
            };
            accept(listener, Arc::new(locks), rooms, places).await;
        }
        None => std::future::pending().await,
    }
}

/// What each visitor finds.
#[derive(Clone)]
struct Rooms {
    owner: TowerToHyperService<Router>,
    phone: TowerToHyperService<Router>,
    class: TowerToHyperService<Router>,
}

impl Rooms {
    fn of(opening: Opening, keeping: &Keeping, tokens: &Tokens, phones: Option<&Arc<Phones>>) -> Rooms {
        let read = Arc::new(pages::names::Read::default());
        let caller = Caller::new(
            opening.program,
            opening.folder.clone(),
            opening.commands,
            keeping.clone(),
        );
        let bench = |visitor| Bench {
            folder: opening.folder.clone(),
            visitor,
            token: tokens.of(visitor).to_owned(),
            caller: caller.clone(),
            keeping: keeping.clone(),
            read: read.clone(),
            styles: pages::styles::Styles::default(),
            noted: Mutex::default(),
            phones: phones.cloned(),
        };
        let room = |visitor| TowerToHyperService::new(pages::routes(Arc::new(bench(visitor))));
        Rooms {
            owner: room(Visitor::Owner),
            phone: room(Visitor::Phone),
            class: room(Visitor::Class),
        }
    }

    fn room(&self, visitor: Visitor) -> &TowerToHyperService<Router> {
        match visitor {
            Visitor::Owner => &self.owner,
            Visitor::Phone => &self.phone,
            Visitor::Class => &self.class,
        }
    }
}

/// Listens on one address of the local network, at the same port.
async fn listen_for_phones(
    asked: &ForPhones,
    port: u16,
    keeping: &Keeping,
) -> Result<(TcpListener, Arc<Phones>), Diagnostic> {
    let ip = match asked.address {
        Some(ip) => ip,
        None => own_address()?,
    };
    let address = SocketAddr::new(ip, port);
    let listener = TcpListener::bind(address).await.map_err(|why| {
        let error = Diagnostic::error("no-phone-address", format!("{address} can't be listened on: {why}"));
        error.help("say this machine's own address in your network: glost open --phone 192.168.1.20")
    })?;
    Ok((
        listener,
        Arc::new(Phones::new(address, keeping.clone(), asked.with_class)?),
    ))
}

/// This machine's address in its network: the one it would send from. Nothing is sent.
fn own_address() -> Result<IpAddr, Diagnostic> {
    // 192.0.2.0/24 is for examples: nobody is there (RFC 5737).
    let asked = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).and_then(|socket| {
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9))?;
        socket.local_addr()
    });
    asked.map(|address| address.ip()).map_err(|why| {
        let error = Diagnostic::error("no-phone-address", format!("this machine is in no network: {why}"));
        error.help("say its address there: glost open --phone 192.168.1.20")
    })
}

/// The port said, else the studio's own, else one that is free, which becomes it.
async fn listen(said: Option<u16>, keeping: &Keeping) -> Result<TcpListener, Diagnostic> {
    let own = keeping.port();
    let port = said.or(own).unwrap_or(0);
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
        .await
        .map_err(|why| no_port(port, &why))?;
    if said.is_none() && own.is_none() {
        let given = listener.local_addr().map_err(|why| no_port(port, &why))?;
        keeping.keep_port(given.port())?;
    }
    Ok(listener)
}

fn no_port(port: u16, why: &std::io::Error) -> Diagnostic {
    let error = Diagnostic::error(
        "port-taken",
        format!("port {port} of this machine can't be listened on: {why}"),
    );
    error.help("the bench may be open already: look for its page; else say another: glost open --port 8321")
}

/// Rings when a signal, or the end of the standard input, ends the bench.
fn ended(until_stdin: bool) -> Result<Arc<Notify>, Diagnostic> {
    let end = Arc::new(Notify::new());
    let ring = end.clone();
    ctrlc::set_handler(move || ring.notify_one())
        .map_err(|why| Diagnostic::error("not-opened", format!("signals can't be heard: {why}")))?;
    if until_stdin {
        let ring = end.clone();
        std::thread::spawn(move || {
            // However it ends, it ended.
            let _ = std::io::copy(&mut std::io::stdin().lock(), &mut std::io::sink());
            ring.notify_one();
        });
    }
    Ok(end)
}

async fn accept(listener: TcpListener, locks: Arc<Locks>, rooms: Rooms, places: Arc<Semaphore>) {
    loop {
        let Ok(place) = places.clone().acquire_owned().await else {
            return;
        };
        match listener.accept().await {
            Ok((stream, peer)) => {
                let (locks, rooms) = (locks.clone(), rooms.clone());
                let whose = stream
                    .local_addr()
                    .map_or(Whose::Another, |ours| locks.whose(peer, ours));
                tokio::spawn(async move {
                    serve(stream, whose, locks, rooms).await;
                    drop(place);
                });
            }
            // Too many open files, say: the next may do better, a little later.
            Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
        }
    }
}

async fn serve(stream: TcpStream, whose: Whose, locks: Arc<Locks>, rooms: Rooms) {
    let service = service_fn(move |request: Request<Incoming>| {
        let (locks, rooms) = (locks.clone(), rooms.clone());
        async move { Ok::<_, Infallible>(answered(request.map(Body::new), whose, &locks, &rooms).await) }
    });
    // A connection that breaks off has nobody left to tell.
    let _ = hyper::server::conn::http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(HEAD_WITHIN)
        .max_headers(64)
        .serve_connection(TokioIo::new(stream), service)
        .await;
}

async fn answered(request: Request<Body>, whose: Whose, locks: &Locks, rooms: &Rooms) -> Response {
    let response = match locks.pass(request, whose).await {
        Ok(Passed::On(visitor, request)) => match rooms.room(visitor).call(request).await {
            Ok(response) => response,
            Err(never) => match never {},
        },
        Ok(Passed::Answered(response)) => response,
        Err(refusal) => refusal.into_response(),
    };
    with_headers(response)
}
