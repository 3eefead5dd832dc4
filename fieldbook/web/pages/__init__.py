"""The pages, one blueprint a theme.

Not the templates. Its one rule: a view asks the site once or twice and hands plain values to one template.
"""

from fieldbook.web.pages import (
    about,
    attachments,
    backup,
    board,
    calendar,
    climate,
    entries,
    exchange,
    growers,
    holding,
    home,
    joining,
    keys,
    merging,
    people,
    review,
    roles,
    running,
    taking_back,
    telling,
    weather,
    writing,
)

BLUEPRINTS = (
    home.pages,
    entries.pages,
    writing.pages,
    review.pages,
    merging.pages,
    calendar.pages,
    climate.pages,
    weather.pages,
    growers.pages,
    exchange.pages,
    holding.pages,
    joining.pages,
    running.pages,
    taking_back.pages,
    telling.pages,
    people.pages,
    keys.pages,
    roles.pages,
    backup.pages,
    board.pages,
    attachments.pages,
    about.pages,
)
