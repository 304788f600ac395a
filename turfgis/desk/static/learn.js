// Practice: one question after the other, answered by pointing at the picture or by choosing.
const practice = document.getElementById("practice");
const words = practice.dataset;
const questions = JSON.parse(words.questions);
const part = (name) => document.getElementById(name);
const paths = [...practice.querySelectorAll("[data-patch]")];
const nameOf = (path) => path.querySelector("title").textContent;
const fill = (text, values) => text.replace(/\{(\w+)\}/g, (_, name) => values[name]);
let at = -1;
let right = 0;
let answered = true;

const finish = (good, verdict) => {
  if (!answered && good) right += 1;
  answered = true;
  part("verdict").textContent = verdict;
  part("show").hidden = true;
  part("next").hidden = at + 1 >= questions.length;
  if (at + 1 >= questions.length) {
    part("again").hidden = false;
    part("question").textContent = fill(words.count, { right, count: questions.length });
    part("choices").replaceChildren();
  } else part("next").focus();
};

const mark = (patches) => {
  for (const path of paths) path.classList.toggle("sought", patches.includes(path.dataset.patch));
};

const point = (path) => {
  const question = questions[at];
  if (answered || question.kind !== "where") return;
  if (question.patches.includes(path.dataset.patch)) {
    mark(question.patches);
    finish(true, words.right);
  } else part("verdict").textContent = fill(words.wrong, { other: nameOf(path) });
};

const ask = () => {
  at += 1;
  answered = false;
  const question = questions[at];
  mark([]);
  part("count").textContent = fill(words.of, { at: at + 1, count: questions.length });
  part("question").textContent = fill(words[question.kind], { about: question.about });
  part("verdict").textContent = "";
  part("next").hidden = true;
  part("show").hidden = question.kind !== "where";
  practice.classList.toggle("pointing", question.kind === "where");
  part("choices").replaceChildren(...question.choices.map((choice) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = choice;
    button.addEventListener("click", () => {
      if (answered) return;
      finish(choice === question.answer, choice === question.answer ? words.right : fill(words.its, question));
    });
    return button;
  }));
};

for (const path of paths) path.addEventListener("click", () => point(path));
part("show").addEventListener("click", () => { mark(questions[at].patches); finish(false, words.shown); });
part("next").addEventListener("click", ask);
if (questions.length) ask();
