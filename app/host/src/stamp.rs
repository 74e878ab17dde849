//! A short name made from content: same bytes, same name, on every machine.

/// FNV-1a, 64 bits, over any number of pieces. Source: Fowler, Noll, Vo; RFC 9923, section 3. Not for secrets: it only tells builds apart.
pub(crate) struct Stamp(u64);

impl Stamp {
    pub(crate) fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    pub(crate) fn with(mut self, bytes: &[u8]) -> Self {
        for &byte in bytes {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
        self
    }

    /// Sixteen hexadecimal digits.
    pub(crate) fn name(&self) -> String {
        format!("{:016x}", self.0)
    }
}

/// The stamp of one piece.
pub(crate) fn stamp(bytes: &[u8]) -> String {
    Stamp::new().with(bytes).name()
}

#[cfg(test)]
mod tests {
    /// Test vectors of the FNV reference code (`test_fnv.c`), 64-bit FNV-1a of "", "a" and "foobar".
    #[test]
    fn stamps_match_the_published_vectors() {
        assert_eq!(super::stamp(b""), "cbf29ce484222325");
        assert_eq!(super::stamp(b"a"), "af63dc4c8601ec8c");
        assert_eq!(super::stamp(b"foobar"), "85944171f73967e8");
    }
}
