//! An invented time-stamp authority, played by `openssl ts` in a folder of its own.
//! The tests of the command line use it too.

use std::{
    fs,
    path::Path,
    process::{Command, Stdio},
};

/// The kind of every key of an authority.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Key {
    Rsa,
    /// 1024 bits, which is too short.
    ShortRsa,
    P256,
    P384,
}

/// What an authority is like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plan {
    pub(crate) key: Key,
    /// Digest of every signature.
    pub(crate) digest: &'static str,
    /// Whether another authority stands between the root and the one that signs stamps.
    pub(crate) intermediate: bool,
    /// How the certificate that signs stamps states its use.
    pub(crate) purpose: &'static str,
    /// From and to when that certificate is valid; `None` is ten years from now on.
    pub(crate) valid: Option<(&'static str, &'static str)>,
    /// The digest by which a stamp names that certificate.
    pub(crate) named_by: &'static str,
    /// What the root may do.
    pub(crate) root_may: &'static str,
    /// What the one between root and signer may do.
    pub(crate) between_may: &'static str,
}

impl Plan {
    pub(crate) const fn with(key: Key) -> Self {
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

/// The authority: its keys and certificates lie in a folder that is deleted with it.
pub(crate) struct Authority {
    folder: tempfile::TempDir,
    plan: Plan,
}

/// True when there is an `openssl` that can play an authority; says so if not.
#[expect(clippy::print_stdout, reason = "a skipped test says why")]
pub(crate) fn openssl_is_there() -> bool {
    let help = Command::new("openssl").args(["ts", "-help"]).output();
    let there = help.is_ok_and(|o| o.status.success());
    if !there {
        println!("skipped: openssl, which plays a time-stamp authority, is not installed");
    }
    there
}

impl Authority {
    /// A new one with keys of its own; `None`, and a word on why, without `openssl`.
    pub(crate) fn new(plan: Plan) -> Option<Self> {
        openssl_is_there().then_some(())?;
        let folder = tempfile::tempdir().expect("a folder");
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
        fs::write(authority.path("brought.pem"), brought).expect("written");
        Some(authority)
    }

    fn path(&self, name: &str) -> String {
        self.folder.path().join(name).to_string_lossy().into_owned()
    }

    pub(crate) fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.path(name)).expect("made by openssl")
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
        fs::write(self.path("plan"), text).expect("written");
        fs::write(self.path("index"), "").expect("written");
        fs::write(self.path("number"), "1000\n").expect("written");
        fs::write(self.path("stamp-number"), "01\n").expect("written");
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

    /// Runs it in the folder of the authority.
    pub(crate) fn openssl(&self, arguments: &[&str]) {
        let ran = self.try_openssl(arguments);
        assert!(ran.is_ok(), "openssl {arguments:?}: {ran:?}");
    }

    /// As [`openssl`](Self::openssl); gives what it complains of.
    pub(crate) fn try_openssl(&self, arguments: &[&str]) -> Result<String, String> {
        let ran = Command::new("openssl")
            .args(arguments)
            .current_dir(self.folder.path())
            .stdin(Stdio::null())
            .output()
            .expect("openssl runs");
        let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
        match ran.status.success() {
            true => Ok(text(&ran.stdout)),
            false => Err(text(&ran.stderr)),
        }
    }

    /// The certificate that a reader has to trust, as PEM.
    pub(crate) fn root(&self) -> Vec<u8> {
        self.read("root.pem")
    }

    /// What the authority answers to a request; also when it refuses.
    pub(crate) fn answer(&self, request: &[u8]) -> Vec<u8> {
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

    pub(crate) fn write(&self, name: &str, bytes: &[u8]) {
        fs::write(Path::new(&self.path(name)), bytes).expect("written");
    }
}
