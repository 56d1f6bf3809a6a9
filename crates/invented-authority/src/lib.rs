//! An invented time-stamp authority for tests, played by `openssl ts` in a folder of
//! its own: keys and certificates are made anew for each, and deleted with it.
//!
//! ```
//! use invented_authority::{Authority, Key, Plan};
//!
//! // `None` where `openssl` is not installed
//! if let Some(authority) = Authority::new(Plan::with(Key::P256)) {
//!     assert!(authority.root().starts_with(b"-----BEGIN CERTIFICATE-----"));
//! }
//! ```
//!
//! # What this crate never does
//! It is in no program: only tests depend on it. It knows nothing of the crate that its
//! stamps are checked with. Whatever goes wrong it says by panicking, as a test does.

use std::{
    fmt::Debug,
    fs,
    process::{Command, Stdio},
};

/// The kind of every key of an authority.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// RSA with 2048 bits.
    Rsa,
    /// 1024 bits, which is too short.
    ShortRsa,
    /// The curve P-256.
    P256,
    /// The curve P-384.
    P384,
}

/// What an authority is like.
#[derive(Debug, Clone, Copy)]
pub struct Plan {
    /// The kind of its keys.
    pub key: Key,
    /// Digest of every signature.
    pub digest: &'static str,
    /// Whether another authority stands between the root and the one that signs stamps.
    pub intermediate: bool,
    /// How the certificate that signs stamps states its use.
    pub purpose: &'static str,
    /// From and to when that certificate is valid; `None` is ten years from now on.
    pub valid: Option<(&'static str, &'static str)>,
    /// The digest by which a stamp names that certificate.
    pub named_by: &'static str,
    /// What the root may do.
    pub root_may: &'static str,
    /// What the one between root and signer may do.
    pub between_may: &'static str,
}

impl Plan {
    /// An authority that does everything right, with keys of this kind.
    #[must_use]
    pub const fn with(key: Key) -> Self {
        Self {
            key,
            digest: "sha256",
            intermediate: false,
            purpose: "critical,timeStamping",
            valid: None,
            named_by: "sha256",
            root_may: "basicConstraints=critical,CA:true\nkeyUsage=critical,keyCertSign,cRLSign",
            between_may: "basicConstraints=critical,CA:true,pathlen:0\nkeyUsage=critical,keyCertSign",
        }
    }
}

/// An authority: its keys and certificates lie in a folder that is deleted with it.
#[derive(Debug)]
pub struct Authority {
    folder: tempfile::TempDir,
    plan: Plan,
}

/// True when there is an `openssl` that can play an authority; says so if not.
#[must_use]
pub fn openssl_is_there() -> bool {
    let help = Command::new("openssl").args(["ts", "-help"]).output();
    let there = help.is_ok_and(|o| o.status.success());
    if !there {
        skipped_tests::skip("openssl, which plays a time-stamp authority, is not installed");
    }
    there
}

impl Authority {
    /// A new one with keys of its own; `None`, and a word on why, without `openssl`.
    ///
    /// # Panics
    /// When `openssl` refuses the plan.
    #[must_use]
    pub fn new(plan: Plan) -> Option<Self> {
        openssl_is_there().then_some(())?;
        let folder = done("a folder", tempfile::tempdir());
        let authority = Self { folder, plan };
        authority.write_plan();
        authority.certificate("root", None);
        let issuer = match plan.intermediate {
            true => {
                authority.certificate("between", Some("root"));
                "between"
            }
            false => "root",
        };
        authority.certificate("signer", Some(issuer));
        let brought = match plan.intermediate {
            true => authority.read("between.pem"),
            false => Vec::new(),
        };
        authority.write("brought.pem", &brought);
        Some(authority)
    }

    fn path(&self, name: &str) -> String {
        self.folder.path().join(name).to_string_lossy().into_owned()
    }

    /// A file in its folder.
    ///
    /// # Panics
    /// When there is none.
    #[must_use]
    pub fn read(&self, name: &str) -> Vec<u8> {
        done(name, fs::read(self.path(name)))
    }

    fn write_plan(&self) {
        let Plan {
            purpose,
            digest,
            named_by,
            root_may,
            between_may,
            ..
        } = self.plan;
        let brought = match self.plan.intermediate {
            true => "certs = brought.pem\n",
            false => "",
        };
        let text = format!(
            "[req]\ndistinguished_name = nobody\n[nobody]\n\
             [ca]\ndefault_ca = list\n\
             [list]\ndatabase = index\nserial = number\nnew_certs_dir = .\npolicy = any\n\
             default_md = {digest}\nunique_subject = no\n\
             [any]\norganizationName = optional\ncommonName = supplied\n\
             [root]\n{root_may}\n\
             subjectKeyIdentifier = hash\n\
             [between]\n{between_may}\n\
             [signer]\nbasicConstraints = CA:false\nkeyUsage = critical,digitalSignature\n\
             {}\n\
             [tsa]\ndefault_tsa = stamps\n\
             [stamps]\nserial = stamp-number\nsigner_cert = signer.pem\n{brought}\
             signer_key = signer.key\nsigner_digest = {digest}\n\
             # an identifier for examples, RFC 5612\ndefault_policy = 1.3.6.1.4.1.32473.1\n\
             digests = sha1,sha256,sha512\naccuracy = secs:1, millisecs:500\n\
             clock_precision_digits = 3\ntsa_name = yes\ness_cert_id_alg = {named_by}\n",
            match purpose {
                "" => String::new(),
                purpose => format!("extendedKeyUsage = {purpose}"),
            }
        );
        self.write("plan", text.as_bytes());
        self.write("index", b"");
        self.write("number", b"1000\n");
        self.write("stamp-number", b"01\n");
    }

    /// Makes a key and a certificate for it.
    fn certificate(&self, name: &str, issuer: Option<&str>) {
        let key = match self.plan.key {
            Key::Rsa => ["RSA", "rsa_keygen_bits:2048"],
            Key::ShortRsa => ["RSA", "rsa_keygen_bits:1024"],
            Key::P256 => ["EC", "ec_paramgen_curve:P-256"],
            Key::P384 => ["EC", "ec_paramgen_curve:P-384"],
        };
        let (key_file, pem, asked) = (
            format!("{name}.key"),
            format!("{name}.pem"),
            format!("{name}.csr"),
        );
        self.openssl(&[
            "genpkey",
            "-algorithm",
            key[0],
            "-pkeyopt",
            key[1],
            "-out",
            &key_file,
        ]);
        let subject = format!("/O=Invented, for tests/CN=Invented {name}");
        let new = [
            "req", "-new", "-config", "plan", "-key", &key_file, "-subj", &subject,
        ];
        let digest = format!("-{}", self.plan.digest);
        let Some(issuer) = issuer else {
            let own = [
                "-x509",
                "-days",
                "36500",
                &digest,
                "-extensions",
                name,
                "-out",
                &pem,
            ];
            self.openssl(&[&new[..], &own].concat());
            return;
        };
        self.openssl(&[&new[..], &["-out", &asked]].concat());
        let (issuer_key, issuer_pem) = (format!("{issuer}.key"), format!("{issuer}.pem"));
        let ca = [
            "ca",
            "-batch",
            "-notext",
            "-config",
            "plan",
            "-keyfile",
            &issuer_key,
            "-cert",
            &issuer_pem,
            "-in",
            &asked,
            "-out",
            &pem,
            "-extensions",
            name,
        ];
        let dates = match self.plan.valid {
            Some((from, to)) if name == "signer" => ["-startdate", from, "-enddate", to],
            // leap years or not does not matter here
            _ => ["-days", "36000", "-md", self.plan.digest],
        };
        self.openssl(&[&ca[..], &dates].concat());
    }

    /// Runs `openssl` in the folder of the authority.
    ///
    /// # Panics
    /// When it complains.
    pub fn openssl(&self, arguments: &[&str]) {
        done(
            &format!("openssl {arguments:?}"),
            self.try_openssl(arguments),
        );
    }

    /// As [`openssl`](Self::openssl).
    ///
    /// # Errors
    /// What it complains of.
    ///
    /// # Panics
    /// When it cannot be run.
    pub fn try_openssl(&self, arguments: &[&str]) -> Result<String, String> {
        let mut command = Command::new("openssl");
        command.args(arguments).current_dir(self.folder.path());
        let ran = done("openssl", command.stdin(Stdio::null()).output());
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        match ran.status.success() {
            true => Ok(text(&ran.stdout)),
            false => Err(text(&ran.stderr)),
        }
    }

    /// The certificate that a reader has to trust, as PEM.
    #[must_use]
    pub fn root(&self) -> Vec<u8> {
        self.read("root.pem")
    }

    /// What the authority answers to a request; also when it refuses.
    ///
    /// # Panics
    /// When `openssl` cannot answer.
    pub fn answer(&self, request: &[u8]) -> Vec<u8> {
        self.write("request.tsq", request);
        self.openssl(&[
            "ts",
            "-reply",
            "-config",
            "plan",
            "-queryfile",
            "request.tsq",
            "-out",
            "answer.tsr",
        ]);
        self.read("answer.tsr")
    }

    /// Puts a file into its folder.
    ///
    /// # Panics
    /// When the disk does not take it.
    pub fn write(&self, name: &str, bytes: &[u8]) {
        done(name, fs::write(self.path(name), bytes));
    }
}

/// What came of it, which went well.
fn done<T, E: Debug>(what: &str, came: Result<T, E>) -> T {
    came.unwrap_or_else(|e| panic!("{what}: {e:?}"))
}
