"""Every screen of the app and the way there: one list for the pictures and for the accessibility checks.

A screen is a name and a function that brings a surveyor there from the screen before it in the list.
"""


def home(surveyor):
    surveyor.browser.wait_for_app()


SCREENS = [("home", home)]
