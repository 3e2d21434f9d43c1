"""The rules of a batch, judged from its events alone; shares no code with the session."""

from __future__ import annotations

from shopstep.model.plan import Plan
from shopstep.model.step import WaitKind
from shopstep.session import events as e


def check_record(envelopes: list[e.Envelope], plan: Plan) -> None:
    """Reads a whole record from its events only, as an inspector would."""
    done: dict[str, int] = {}
    answered: set[str] = set()
    glue: dict[str, int] = {}
    agreed: set[str] = set()
    now_s = 0
    needs = {step.id: step.needs for step in plan.steps}
    risky = {
        step.id
        for step in plan.steps
        for kind in plan.kinds
        if kind.id == step.kind and any(caution.must_ack for caution in kind.cautions)
    }
    for version, envelope in enumerate(envelopes, 1):
        assert envelope.version == version
        now_s = max(now_s, envelope.moment.at_s)
        match envelope.event:
            case e.CautionAcknowledged(step=step):
                answered.add(step)
            case e.GlueSpread(step=step, since_s=since_s):
                glue[step] = since_s
            case e.DeviationAccepted(step=step, name="open_time"):
                agreed.add(step)
            case e.StepReopened(step=step):
                del done[step]
                answered.discard(step)
                agreed.discard(step)
            case e.GlueScraped(step=step, reopened=reopened):
                for gone in {step, *reopened}:
                    done.pop(gone, None)
                    answered.discard(gone)
                    agreed.discard(gone)
                del glue[step]
            case e.StepsVoided(steps=steps):
                for gone in steps:
                    del done[gone]
                    answered.discard(gone)
                    agreed.discard(gone)
                    glue.pop(gone, None)
            case e.StepFinished(step=step):
                assert step not in done
                assert all(need in done for need in needs[step])
                assert step not in risky or step in answered
                for wait in plan.waits:
                    if wait.before == step and wait.kind is WaitKind.OPEN:
                        assert now_s <= glue[wait.after] + wait.seconds or step in agreed
                    elif wait.before == step and wait.kind is not WaitKind.WITHIN:
                        assert now_s >= done[wait.after] + wait.seconds
                done[step] = now_s
            case _:
                pass
