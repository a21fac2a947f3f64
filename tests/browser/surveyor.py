"""A surveyor's hands and eyes: what a test does on a screen, in words of the job rather than of the page.

Whatever can be tapped has a `data-tap` name that is unique on its screen. A tap here is a real click of the driver:
it fails when the thing is not there, is covered, or is switched off.
"""

import harness
from selenium.common.exceptions import StaleElementReferenceException, WebDriverException
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import Select


class Surveyor:
    """Works one browser, of either engine."""

    def __init__(self, browser, patience=20):
        self.browser, self.patience = browser, patience

    @property
    def driver(self):
        return self.browser.driver

    def speak(self, language):
        """Chooses the app's language, as its owner does on the device's screen, from the first screen and back to it."""
        self.browser.wait_for_app()
        self.tap("device")
        self.tap(f"language-{language}")
        said = "return document.documentElement.lang"
        harness.wait_until(lambda: self.driver.execute_script(said) == language, f"the page in {language}")
        self.tap("device-done")
        self.wait_for("home-start")

    def all_named(self, test_id):
        return self.driver.find_elements(By.CSS_SELECTOR, f'[data-tap="{test_id}"]')

    def is_there(self, test_id):
        return any(element.is_displayed() for element in self.all_named(test_id))

    def wait_for(self, test_id):
        """The one visible thing of this name, once it is there."""

        def found():
            visible = [element for element in self.all_named(test_id) if element.is_displayed()]
            assert len(visible) < 2, f"two things on the screen are named {test_id}"
            return visible[0] if visible else None

        try:
            return harness.wait_until(found, f"[data-tap={test_id}]", self.patience)
        except AssertionError as fault:
            raise AssertionError(f"{fault}\non the screen: {', '.join(self.names_on_screen())}\n{self.screen()[:1500]}") from None

    def wait_gone(self, test_id):
        harness.wait_until(lambda: not self.is_there(test_id), f"[data-tap={test_id}] to go", self.patience)

    def wait_text(self, *either):
        """Waits until the screen says this somewhere, in whichever of the languages it is given."""
        try:
            harness.wait_until(lambda: any(one in self.screen() for one in either), f"the words '{either[0]}'", self.patience)
        except AssertionError as fault:
            raise AssertionError(f"{fault}\non the screen:\n{self.screen()[:1500]}") from None

    def tap(self, test_id):
        """Taps it as soon as it can be tapped, and looks up when the page has answered, as a person does."""
        last = []

        def done():
            element = self.wait_for(test_id)
            try:
                # The page's own scrolling may be smooth, which the driver's click does not wait for.
                self.browser.run("arguments[0].scrollIntoView({block: 'center', behavior: 'instant'})", element)
                if not element.is_enabled():
                    return False
                element.click()
                return True
            except WebDriverException as fault:
                last[:] = [fault]
                return False

        try:
            harness.wait_until(done, f"[data-tap={test_id}] to take a tap", self.patience)
        except AssertionError as fault:
            raise AssertionError(f"{fault}: {last[0].msg if last else 'it is switched off'}") from None
        self.look_up()

    def look_up(self):
        """Lets the page paint what a tap changed at once; what comes later is for the caller to wait for."""
        try:
            self.browser.painted(2, at_most_ms=500)
        except WebDriverException:
            # The tap has led to another page, or asks something before it does.
            pass

    def type_into(self, test_id, text):
        """Replaces what stands in a field."""
        element = self.wait_for(test_id)
        element.clear()
        element.send_keys(text)

        def typed():
            try:
                return element.get_property("value") == text
            except StaleElementReferenceException:
                # What was typed has led to another screen.
                return True

        harness.wait_until(typed, f"{text!r} in {test_id}")

    def paste_into(self, test_id, text):
        """Puts a long text into a field at once, as a paste does."""
        element = self.wait_for(test_id)
        self.browser.run(
            "const [field, text] = arguments; field.focus();"
            "const kind = field instanceof HTMLTextAreaElement ? HTMLTextAreaElement : HTMLInputElement;"
            "Object.getOwnPropertyDescriptor(kind.prototype, 'value').set.call(field, text);"
            "field.dispatchEvent(new InputEvent('input', { bubbles: true, inputType: 'insertFromPaste' }));"
            "field.dispatchEvent(new Event('change', { bubbles: true }));",
            element,
            text,
        )

    def choose(self, test_id, value):
        """Picks an option of a list by its value."""
        Select(self.wait_for(test_id)).select_by_value(value)

    def give_file(self, test_id, path):
        """Hands a file to a file field, which may be hidden behind its label."""
        fields = harness.wait_until(lambda: self.all_named(test_id), f"the file field {test_id}", self.patience)
        fields[0].send_keys(str(path))

    def text_of(self, test_id):
        return self.wait_for(test_id).text

    def value_of(self, test_id):
        return self.wait_for(test_id).get_property("value")

    def screen(self):
        """All words on the screen."""
        return self.browser.run("return document.body.innerText")

    def names_on_screen(self):
        """Everything that can be tapped now, for messages and for finding one's way."""
        script = (
            "return [...document.querySelectorAll('[data-tap]')]"
            ".filter((e) => e.getClientRects().length).map((e) => e.dataset.tap)"
        )
        return self.browser.run(script)
