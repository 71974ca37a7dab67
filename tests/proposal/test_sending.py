"""The message, a real mail server on this machine, and what the book keeps of it."""

from __future__ import annotations

import email
import ssl
from dataclasses import replace
from email.policy import SMTP

import pytest

from kit.errors import PaperError
from kit.proposal import (
    MailSettings,
    UnsureError,
    eml,
    letter,
    mail_settings,
    post,
)

PDF = b"%PDF-1.7 not really one\n.\n..\n%%EOF\n"


@pytest.fixture
def view(make_view):
    firm = replace(make_view().firm, email="floors@oddnytarn.example")
    client = replace(make_view().client, email="ines@slipwaypottery.example")
    return make_view(firm=firm, client=client)


@pytest.fixture
def message(view):
    return letter(view, PDF, name="proposal.pdf", draft=False)


def test_a_draft_opens_with_the_paper_and_a_short_message_in_it(view):
    read = email.message_from_bytes(eml(letter(view, PDF, name="p.pdf")), policy=SMTP)
    assert read["X-Unsent"] == "1"
    assert read["To"].addresses[0].addr_spec == "ines@slipwaypottery.example"
    assert read["From"].addresses[0].display_name == "Oddny Tarn Poured Floors"
    assert read["Subject"] == "A poured floor for Slipway Pottery, proposal 2611-07"
    said = read.get_body().get_content()
    assert said.startswith("Dear Ines Quarrie,")
    assert "$4,846.20, $16.94 per sq ft of 286.0" in said
    assert "December 23, 2026" in said
    (paper,) = read.iter_attachments()
    assert (paper.get_content_type(), paper.get_filename()) == ("application/pdf", "p.pdf")
    assert paper.get_content() == PDF


def test_the_same_paper_makes_the_same_message_to_the_byte(view):
    one, other = (eml(letter(view, PDF, name="p.pdf")) for _ in range(2))
    assert one == other
    assert eml(letter(view, PDF + b" ", name="p.pdf")) != one


def test_nothing_in_the_message_names_the_machine(view, monkeypatch):
    monkeypatch.setattr("socket.gethostname", lambda: "boathouse-9")
    monkeypatch.setattr("socket.getfqdn", lambda *_: "boathouse-9.lan")
    assert b"boathouse-9" not in eml(letter(view, PDF, name="p.pdf"))


@pytest.mark.parametrize(
    "bad", ["", "ines", "ines@", "a@b\nBcc: c@d.example", "é@x.example"]
)
def test_what_is_no_address_is_refused_with_its_field(view, bad):
    with pytest.raises(PaperError, match="client, email: found"):
        letter(replace(view, client=replace(view.client, email=bad)), PDF, name="p.pdf")
    with pytest.raises(PaperError, match="firm, email: found none"):
        letter(replace(view, firm=replace(view.firm, email="")), PDF, name="p.pdf")


@pytest.mark.parametrize("name", ["A\r\nBcc: x@y.example", 'Q"; <z@z.example>', "Łódź Ę"])
def test_a_name_cannot_add_a_header_or_a_reader(view, name):
    view = replace(view, client=replace(view.client, name=name, person=""))
    read = email.message_from_bytes(eml(letter(view, PDF, name="p.pdf")), policy=SMTP)
    assert "Bcc" not in read
    assert [a.addr_spec for a in read["To"].addresses] == ["ines@slipwaypottery.example"]


# ---- a server


class Keeper:
    """Takes mail; what it answers to each message in turn can be told beforehand."""

    def __init__(self) -> None:
        self.taken: list[bytes] = []
        self.answers: list[str] = []
        self.hangs_up = False

    async def handle_DATA(self, server, _session, envelope):
        answer = self.answers.pop(0) if self.answers else "250 taken"
        if answer.startswith("250"):
            self.taken.append(envelope.content)
        if self.hangs_up:
            server.transport.abort()
        return answer


@pytest.fixture
def served():
    controller = pytest.importorskip("aiosmtpd.controller")
    keeper = Keeper()
    opened = []

    class Server(controller.Controller):
        def _trigger_server(self):
            # it knows its port only once it listens
            self.port = self.server.sockets[0].getsockname()[1]
            super()._trigger_server()

    def start(**how):
        server = Server(keeper, hostname="127.0.0.1", port=0, **how)
        server.start()
        opened.append(server)
        return server.port

    yield keeper, start
    for server in opened:
        server.stop()


def settings(port: int, **more) -> MailSettings:
    given = {"host": "127.0.0.1", "port": port, "security": "none", "wait_s": 0, **more}
    return MailSettings(**{"timeout_s": 5, **given})


def post_now(message, how, **more) -> int:
    return post(message, how, wait=lambda _: None, **more)


def test_a_message_arrives_whole_even_with_lines_that_begin_with_a_dot(served, message):
    keeper, start = served
    message.get_body().set_content("Hello\n.\n..two\n.one\n", cte="7bit")
    assert post_now(message, settings(start())) == 1
    (taken,) = keeper.taken
    assert b"Hello\r\n.\r\n..two\r\n.one\r\n" in taken
    (paper,) = email.message_from_bytes(taken, policy=SMTP).iter_attachments()
    assert paper.get_content() == PDF


def test_what_the_server_puts_off_is_tried_again_and_taken_once(served, message):
    keeper, start = served
    keeper.answers = ["451 later", "451 later still"]
    assert post_now(message, settings(start())) == 3
    assert len(keeper.taken) == 1


def test_what_the_server_refuses_is_not_tried_again(served, message):
    keeper, start = served
    keeper.answers = ["550 no such reader"]
    with pytest.raises(PaperError, match=r"550 no such reader; .*nothing was sent"):
        post_now(message, settings(start()))
    assert keeper.taken == []
    assert keeper.answers == []


def test_a_message_without_an_answer_is_never_sent_twice(served, message):
    """The server takes it, then the line breaks before it can say so."""
    keeper, start = served
    keeper.hangs_up = True
    with pytest.raises(UnsureError, match="no answer to the whole message"):
        post_now(message, settings(start(), tries=5))
    assert len(keeper.taken) == 1


def test_a_rude_farewell_does_not_send_it_twice(served, message, monkeypatch):
    import smtplib

    keeper, start = served

    def rude(self):
        raise smtplib.SMTPResponseException(451, b"no bye")

    monkeypatch.setattr(smtplib.SMTP, "quit", rude)
    assert post_now(message, settings(start())) == 1
    assert len(keeper.taken) == 1


def test_a_server_that_is_not_there_is_named_after_all_tries(message):
    waited = []
    how = settings(1, tries=3, wait_s=2.0)
    with pytest.raises(PaperError, match=r"mail server 127\.0\.0\.1: found .*refused"):
        post(message, how, wait=waited.append)
    assert waited == [2.0, 4.0]


@pytest.fixture(scope="module")
def authority():
    trustme = pytest.importorskip("trustme")
    return trustme.CA()


@pytest.mark.parametrize("known", [True, False])
def test_the_line_is_sealed_by_a_certificate_that_is_believed(
    served, message, authority, known
):
    keeper, start = served
    sealed = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    authority.issue_cert("127.0.0.1").configure_cert(sealed)
    trust = ssl.create_default_context()
    if known:
        authority.configure_trust(trust)
    port = start(tls_context=sealed, require_starttls=True)
    how = settings(port, security="starttls")
    if known:
        assert post_now(message, how, trust=trust) == 1
        assert len(keeper.taken) == 1
    else:
        with pytest.raises(PaperError, match="certificate verify failed"):
            post_now(message, how, trust=trust)
        assert keeper.taken == []


# ---- settings


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("host = 1", "host"),
        ('host = "mail.example"\nport = "x"', "port"),
        ('host = "mail.example"\npassword = "secret"', "password"),
        ('host = "mail.example"\nsecurity = "none"', "security: found none"),
        ("host = ", "expected TOML"),
    ],
)
def test_wrong_settings_are_named(tmp_path, text, told):
    place = tmp_path / "mail.toml"
    place.write_text(text)
    with pytest.raises(PaperError, match=told):
        mail_settings(place)


def test_settings_are_where_the_environment_says(tmp_path, monkeypatch):
    place = tmp_path / "mine.toml"
    place.write_text('host = "mail.example"\nuser = "oddny"\n')
    monkeypatch.setenv("KIT_MAIL", str(place))
    assert mail_settings().port == 587
    monkeypatch.setenv("KIT_MAIL", str(tmp_path / "none.toml"))
    with pytest.raises(PaperError, match="No such file"):
        mail_settings()


@pytest.mark.paper
def test_the_number_and_the_change_stand_on_the_paper(make_view):
    from io import BytesIO

    from kit.proposal import propose

    pypdf = pytest.importorskip("pypdf", reason="pypdf is not installed")
    view = make_view(revision="2", changed="Changed since the paper before: the finish.")
    first, second, *_ = (
        page.extract_text() for page in pypdf.PdfReader(BytesIO(propose(view))).pages
    )
    assert "Revision 2. Changed since the paper before: the finish." in " ".join(
        first.split()
    )
    assert "No. 2611-07, revision 2, November 25, 2026" in second
