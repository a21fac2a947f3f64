"""A team's folder: a real Apache httpd with mod_dav, set up as the README says, that can be stopped and started."""

import os
import pathlib
import shutil
import subprocess
import urllib.error
import urllib.request

import harness

USER, PASSWORD = "team", "app password of the team"

# The lines in the middle are those of the README.
CONFIGURATION = """
ServerRoot "{root}"
ServerName localhost
Listen 127.0.0.1:{port}
PidFile "{root}/httpd.pid"
ErrorLog "{root}/error.log"
LogFormat "%m %U %>s" short
CustomLog "{root}/access.log" short
{modules}
DavLockDB "{root}/locks"
DocumentRoot "{root}/files"
{who}
<Directory "{root}/files">
  Dav On
  AuthType Basic
  AuthName "Team"
  AuthUserFile "{root}/passwords"
  <LimitExcept OPTIONS>
    Require valid-user
  </LimitExcept>
  Header always set Access-Control-Allow-Origin "{origin}"
  Header always set Access-Control-Allow-Methods "GET, PUT, MKCOL, PROPFIND"
  Header always set Access-Control-Allow-Headers "Authorization, Content-Type, Depth, If-None-Match"
</Directory>
"""
MODULES = ["mpm_event", "authn_core", "authn_file", "authz_core", "authz_user", "auth_basic", "dav", "dav_fs", "headers"]


class TeamFolder:
    """The server and its folder; `origin` is where the app is served from."""

    def __init__(self, root, origin):
        self.root, self.process = pathlib.Path(root), None
        self.files = self.root / "files"
        self.files.mkdir(parents=True)
        self.port = harness.free_port()
        program = shutil.which("apache2") or shutil.which("httpd") or "/usr/sbin/apache2"
        assert pathlib.Path(program).is_file(), "apache2 is not installed: cargo xtask test installs what the tests need"
        self.program = program
        folder = next(f for f in ("/usr/lib/apache2/modules", "/usr/lib64/httpd/modules") if pathlib.Path(f).is_dir())
        lines = [f"LoadModule {name}_module {folder}/mod_{name}.so" for name in MODULES]
        who = ""
        if os.geteuid() == 0:
            # The administrator's own server hands its work to somebody with fewer rights.
            who = "User www-data\nGroup www-data"
            for place in [self.root, *self.root.parents]:
                if str(place).startswith("/tmp/"):
                    place.chmod(place.stat().st_mode | 0o011)
            shutil.chown(self.root, "www-data", "www-data")
            shutil.chown(self.files, "www-data", "www-data")
        text = CONFIGURATION.format(
            root=self.root, port=self.port, modules="\n".join(lines), origin=origin, who=who
        )
        (self.root / "httpd.conf").write_text(text, encoding="utf-8")
        digest = subprocess.run(["openssl", "passwd", "-apr1", "-stdin"], input=PASSWORD, text=True, capture_output=True, check=True)
        (self.root / "passwords").write_text(f"{USER}:{digest.stdout.strip()}\n", encoding="utf-8")
        self.start()

    @property
    def address(self):
        return f"http://127.0.0.1:{self.port}/"

    def start(self):
        command = [self.program, "-f", str(self.root / "httpd.conf"), "-D", "FOREGROUND"]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)

        def answers():
            if self.process.poll() is not None:
                raise AssertionError("Apache did not start:\n" + self.process.stderr.read())
            try:
                urllib.request.urlopen(urllib.request.Request(self.address, method="OPTIONS"), timeout=2).close()
                return True
            except urllib.error.HTTPError as answer:
                raise AssertionError(f"OPTIONS without a password is answered with {answer.code}") from None
            except OSError:
                return False

        harness.wait_until(answers, "Apache to answer")

    def stop(self):
        if self.process is not None:
            self.process.terminate()
            self.process.wait(20)
            self.process = None

    @property
    def requests(self):
        """What was asked for, as (method, path, status)."""
        path = self.root / "access.log"
        return [tuple(line.split(" ")) for line in path.read_text(encoding="utf-8").splitlines()] if path.exists() else []

    @property
    def parts(self):
        return sorted(self.files.glob("quarterlight-*/*.part"))
