"""What becomes of a withdrawal at a site: its notice and its two lines, allowing again, how far it came, paper, drills.

Not the judging (``review.folding``) and not what people told (``complaining``). Its one rule: each room takes the site;
none of them lets anything through that the fold has stopped.
"""

from fieldbook.site.stopping.acknowledging import Acknowledging, Reach
from fieldbook.site.stopping.drilling import Drills
from fieldbook.site.stopping.hearing import Hearing
from fieldbook.site.stopping.papers import Papers
from fieldbook.site.stopping.seconding import Seconding
from fieldbook.site.stopping.withdrawals import Stopped, Stops

__all__ = ["Acknowledging", "Drills", "Hearing", "Papers", "Reach", "Seconding", "Stopped", "Stops"]
