use std::net::IpAddr;
use std::path::PathBuf;

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct OpenOptions {
    /// The studio's folder, or an empty one for the first day; else the nearest
    /// studio upward
    #[arg(value_name = "DIR")]
    pub(crate) dir: Option<PathBuf>,
    /// Only print the address
    #[arg(long)]
    pub(crate) no_browser: bool,
    /// Put a starter for it on the desktop, and don't open it now
    #[arg(long)]
    pub(crate) icon: bool,
    /// The port of this machine; else the one that the studio was given
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub(crate) port: Option<u16>,
    /// Let phones of your own network in, too, at this machine's address there; pair
    /// them on the page Phones. Plain http: only in a network you trust
    #[arg(long, value_name = "ADDRESS", num_args = 0..=1, require_equals = false)]
    pub(crate) phone: Option<Option<IpAddr>>,
    /// The same for a class, which sees less still: own tiles, counters, photos
    #[arg(long)]
    pub(crate) class: bool,
    /// End when the standard input ends, too
    #[arg(long)]
    pub(crate) until_stdin: bool,
}
