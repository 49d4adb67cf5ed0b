//! Whose a connection is: on Linux the system tells which user holds the other end.

use std::net::SocketAddr;

/// Who holds the other end of a connection.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Whose {
    /// This user.
    Own,
    /// Another user, or nobody known.
    Another,
    /// This system doesn't tell.
    NotTold,
}

/// Who holds the end `peer` of a connection to `ours`.
#[cfg(target_os = "linux")]
pub(crate) fn whose(peer: SocketAddr, ours: SocketAddr) -> Whose {
    use std::os::unix::fs::MetadataExt;
    let Ok(own) = std::fs::metadata("/proc/self").map(|about| about.uid()) else {
        return Whose::NotTold;
    };
    let tables = ["/proc/net/tcp", "/proc/net/tcp6"].map(std::fs::read_to_string);
    if tables.iter().all(Result::is_err) {
        return Whose::NotTold;
    }
    let found = tables
        .into_iter()
        .flatten()
        .find_map(|table| holder(&table, peer, ours));
    if found == Some(own) { Whose::Own } else { Whose::Another }
}

/// Elsewhere nobody is asked.
#[cfg(not(target_os = "linux"))]
pub(crate) fn whose(_: SocketAddr, _: SocketAddr) -> Whose {
    Whose::NotTold
}

/// The user of the socket from `peer` to `ours` in a table of the system's: see proc(5),
/// `/proc/net/tcp`.
#[cfg(target_os = "linux")]
fn holder(table: &str, peer: SocketAddr, ours: SocketAddr) -> Option<u32> {
    let end = |address: SocketAddr| {
        let std::net::IpAddr::V4(ip) = address.ip() else {
            return None;
        };
        // The kernel prints the four bytes as a number of the machine's own order.
        let word = u32::from_ne_bytes(ip.octets());
        Some((format!("{word:08X}"), format!("{:04X}", address.port())))
    };
    let (peer, ours) = (end(peer)?, end(ours)?);
    let is = |column: &str, (ip, port): &(String, String)| {
        column
            .split_once(':')
            // In the table of IPv6 an address of IPv4 is the tail of a longer one.
            .is_some_and(|(address, said)| address.ends_with(ip.as_str()) && said == port)
    };
    table.lines().skip(1).find_map(|line| {
        let columns: Vec<&str> = line.split_whitespace().collect();
        let (local, remote) = (columns.get(1)?, columns.get(2)?);
        (is(local, &peer) && is(remote, &ours))
            .then(|| columns.get(7)?.parse().ok())
            .flatten()
    })
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;
    use std::net::{TcpListener, TcpStream};

    #[test]
    fn a_connection_of_ones_own_is_known() {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let ours = listener.local_addr().unwrap();
        let _there = TcpStream::connect(ours).unwrap();
        let (here, peer) = listener.accept().unwrap();
        assert_eq!(whose(peer, here.local_addr().unwrap()), Whose::Own);
        let nobody = "127.0.0.1:1".parse().unwrap();
        assert_eq!(whose(nobody, ours), Whose::Another);
    }

    #[test]
    fn the_table_is_read_by_both_ends() {
        let table = "  sl  local_address rem_address   st tx_queue rx_queue tr tm->when retrnsmt   uid\n\
            \x20  0: 0100007F:11D7 0100007F:A0F2 01 00000000:00000000 00:00000000 00000000     0        0 1\n\
            \x20  1: 0100007F:A0F2 0100007F:11D7 01 00000000:00000000 00:00000000 00000000  1001        0 2\n";
        let (peer, ours) = ("127.0.0.1:41202".parse().unwrap(), "127.0.0.1:4567".parse().unwrap());
        assert_eq!(holder(table, peer, ours), Some(1001));
        assert_eq!(holder(table, ours, peer), Some(0));
    }
}
