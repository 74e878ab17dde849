//! A small static server for localhost: for a look at the page and for its tests, not for the open net.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::JoinHandle;
use std::time::Duration;

use crate::Error;

/// A server at work. It stops when this is dropped.
#[derive(Debug)]
pub struct Served {
    address: SocketAddr,
    prefix: String,
    stopping: Arc<AtomicBool>,
    accepting: Option<JoinHandle<()>>,
}

/// Serves `folder` on localhost.
///
/// - `port`: the port, or 0 for any free one
/// - `prefix`: the sub-path under which the page lies, such as `/some/folder/`; `/` for none
///
/// Errors: `folder` holds no `index.html`, or the port is taken.
pub fn serve(folder: &Path, port: u16, prefix: &str) -> Result<Served, Error> {
    if !folder.join("index.html").is_file() {
        return Err(Error::at(
            folder,
            "holds no index.html; build the page first",
        ));
    }
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port))
        .map_err(|reason| Error(format!("port {port} on localhost: {reason}")))?;
    let address = listener
        .local_addr()
        .map_err(|reason| Error(format!("port {port} on localhost: {reason}")))?;
    let prefix = format!("/{}/", prefix.trim_matches('/')).replace("//", "/");
    let stopping = Arc::new(AtomicBool::new(false));

    let page = Arc::new(Page {
        folder: folder.to_path_buf(),
        prefix: prefix.clone(),
    });
    let stop = stopping.clone();
    let accepting = std::thread::spawn(move || {
        for connection in listener.incoming() {
            if stop.load(Ordering::SeqCst) {
                return;
            }
            if let Ok(connection) = connection {
                let page = page.clone();
                // A visitor who hangs up early is no matter for the others.
                std::thread::spawn(move || page.answer(&connection).ok());
            }
        }
    });
    Ok(Served {
        address,
        prefix,
        stopping,
        accepting: Some(accepting),
    })
}

impl Served {
    /// The address of the page, with the sub-path and a slash at the end.
    pub fn address(&self) -> String {
        format!("http://{}{}", self.address, self.prefix)
    }

    /// Serves until the process is ended.
    pub fn wait(mut self) {
        if let Some(accepting) = self.accepting.take() {
            accepting.join().ok();
        }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        self.stopping.store(true, Ordering::SeqCst);
        if let Some(accepting) = self.accepting.take() {
            // The accepting thread sleeps until somebody knocks.
            if TcpStream::connect(self.address).is_ok() {
                accepting.join().ok();
            }
        }
    }
}

struct Page {
    folder: PathBuf,
    prefix: String,
}

impl Page {
    fn answer(&self, connection: &TcpStream) -> std::io::Result<()> {
        connection.set_read_timeout(Some(Duration::from_secs(10)))?;
        // A request's head of more than 64 kB is not ours.
        let mut request = BufReader::new(connection).take(64 * 1024);
        let mut first = String::new();
        request.read_line(&mut first)?;
        let mut line = String::new();
        while request.read_line(&mut line)? > 2 {
            line.clear();
        }
        let mut words = first.split_whitespace();
        let (method, target) = (
            words.next().unwrap_or_default(),
            words.next().unwrap_or_default(),
        );
        let reply = match method {
            "GET" | "HEAD" => self.reply(target),
            _ => Reply::plain("405 Method Not Allowed"),
        };
        let mut head = format!(
            "HTTP/1.1 {}\r\nContent-Type: {}\r\nContent-Length: {}\r\n",
            reply.status,
            reply.media_type,
            reply.body.len()
        );
        if let Some(location) = reply.location {
            head.push_str(&format!("Location: {location}\r\n"));
        }
        head.push_str("Cache-Control: no-cache\r\nX-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n");
        let mut connection = connection;
        connection.write_all(head.as_bytes())?;
        if method == "GET" {
            connection.write_all(&reply.body)?;
        }
        connection.flush()
    }

    fn reply(&self, target: &str) -> Reply {
        let path = target.split(['?', '#']).next().unwrap_or_default();
        if format!("{path}/") == self.prefix {
            return Reply {
                location: Some(self.prefix.clone()),
                ..Reply::plain("301 Moved Permanently")
            };
        }
        let Some(file) = path.strip_prefix(&self.prefix).and_then(file_name) else {
            return Reply::plain("404 Not Found");
        };
        match std::fs::read(self.folder.join(&file)) {
            Ok(body) => Reply {
                status: "200 OK",
                media_type: media_type(&file),
                location: None,
                body,
            },
            Err(_) => Reply::plain("404 Not Found"),
        }
    }
}

struct Reply {
    status: &'static str,
    media_type: &'static str,
    location: Option<String>,
    body: Vec<u8>,
}

impl Reply {
    fn plain(status: &'static str) -> Self {
        Self {
            status,
            media_type: "text/plain; charset=utf-8",
            location: None,
            body: status.as_bytes().to_vec(),
        }
    }
}

/// The file that a path below the prefix means, or none if it is not a plain name below the folder.
fn file_name(path: &str) -> Option<String> {
    let path = percent_decoded(path)?;
    let leads_out = path
        .split('/')
        .any(|part| part == ".." || part.contains(['\\', '\0']))
        || path.starts_with('/');
    if leads_out {
        return None;
    }
    Some(if path.is_empty() || path.ends_with('/') {
        format!("{path}index.html")
    } else {
        path
    })
}

fn percent_decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digits = [rest.next()?, rest.next()?];
            bytes.push(u8::from_str_radix(std::str::from_utf8(&digits).ok()?, 16).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

fn media_type(file: &str) -> &'static str {
    match file.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        "gz" => "application/gzip",
        "csv" => "text/csv; charset=utf-8",
        "txt" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_never_leads_out_of_the_folder() {
        assert_eq!(file_name("../secret"), None);
        assert_eq!(file_name("data/%2e%2e/%2e%2e/secret"), None);
        assert_eq!(file_name("/etc/passwd"), None);
        assert_eq!(file_name("a%zz"), None);
    }

    #[test]
    fn a_folder_means_its_index() {
        assert_eq!(file_name(""), Some("index.html".to_owned()));
        assert_eq!(file_name("help/"), Some("help/index.html".to_owned()));
        assert_eq!(
            file_name("data/a%20b.json"),
            Some("data/a b.json".to_owned())
        );
    }
}
