//! Which host a request must name: a page of another name that was led to this
//! address (DNS rebinding) says its own.

use std::net::SocketAddr;

use axum::http::header::{HOST, HeaderMap};
use axum::http::uri::Uri;

/// The hosts served, each with its port.
#[derive(Debug, Clone)]
pub(crate) struct Hosts(Vec<String>);

impl Hosts {
    pub(crate) fn of(address: SocketAddr) -> Hosts {
        let mut hosts = vec![address.to_string()];
        if address.ip().is_loopback() {
            hosts.push(format!("localhost:{}", address.port()));
        }
        Hosts(hosts)
    }

    /// Whether a request names one of them, once, and no other anywhere.
    pub(crate) fn are_named(&self, headers: &HeaderMap, uri: &Uri) -> bool {
        let mut named = headers.get_all(HOST).iter();
        let (Some(host), None) = (named.next(), named.next()) else {
            return false;
        };
        let is_ours = |host: &str| self.0.iter().any(|ours| ours == host);
        let in_line = uri.authority().is_none_or(|authority| is_ours(authority.as_str()));
        host.to_str().is_ok_and(is_ours) && in_line
    }

    /// Whether an `Origin` is one of ours.
    pub(crate) fn is_origin(&self, origin: &str) -> bool {
        origin
            .strip_prefix("http://")
            .is_some_and(|host| self.0.iter().any(|ours| ours == host))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(host: &str, uri: &str) -> bool {
        let hosts = Hosts::of("127.0.0.1:4567".parse().unwrap());
        let mut headers = HeaderMap::new();
        headers.append(HOST, host.parse().unwrap());
        hosts.are_named(&headers, &uri.parse().unwrap())
    }

    #[test]
    fn only_the_address_served_is_a_host() {
        for ours in ["127.0.0.1:4567", "localhost:4567"] {
            assert!(named(ours, "/"), "{ours}");
        }
        let foreign = [
            "evil.example",
            "evil.example:4567",
            "127.0.0.1",
            "localhost",
            "127.0.0.1:80",
            "127.0.0.1:04567",
            "127.1:4567",
            "0x7f.0.0.1:4567",
            "2130706433:4567",
            "0.0.0.0:4567",
            "[::1]:4567",
            "[::ffff:127.0.0.1]:4567",
            "localhost.:4567",
            "LOCALHOST:4567",
            "localhost.evil.example:4567",
            "evil.example@127.0.0.1:4567",
            "127.0.0.1:4567.evil.example",
            "",
        ];
        for host in foreign {
            assert!(!named(host, "/"), "{host}");
        }
        assert!(!named("127.0.0.1:4567", "http://evil.example/"));
    }

    #[test]
    fn two_hosts_are_none() {
        let hosts = Hosts::of("127.0.0.1:4567".parse().unwrap());
        let mut headers = HeaderMap::new();
        assert!(!hosts.are_named(&headers, &Uri::from_static("/")));
        headers.append(HOST, "127.0.0.1:4567".parse().unwrap());
        headers.append(HOST, "evil.example".parse().unwrap());
        assert!(!hosts.are_named(&headers, &Uri::from_static("/")));
    }

    #[test]
    fn an_origin_has_scheme_and_port() {
        let hosts = Hosts::of("127.0.0.1:4567".parse().unwrap());
        assert!(hosts.is_origin("http://127.0.0.1:4567"));
        for foreign in [
            "null",
            "",
            "http://127.0.0.1",
            "https://127.0.0.1:4567",
            "http://127.0.0.1:45678",
        ] {
            assert!(!hosts.is_origin(foreign), "{foreign}");
        }
    }
}
